// Package jobfolder keeps jobs on the disk: [Write] writes a job folder whole or not at
// all; [Place.ReadFolder] reads its programs back, once the folder's files are known to
// belong together, and [Place.ReadLoad] what is to be found on the cloth for a load.
//
// It lies to the right of package job, whose settings stand in the folder's job.toml,
// and makes no program itself.
//
// Cost: reading grows with the size of the files, which is bounded by kind.
package jobfolder
