// Package job has what a job is made from: its settings and the inputs that they
// name.
//
//   - [Settings] decide a job. Their zero value holds the defaults. [ParseSettings]
//     reads them from a job.toml, [Settings.With] sets single ones from text, and
//     [Keys] lists them all.
//   - [ReadInputs] reads every file that the settings name: the design, fonts,
//     profiles and marks.
//
// It lies to the left of package plot, which needs the settings to make a job, and
// so holds nothing that needs a made job: reports, sheets and pictures are in
// plot/report. It opens no port and makes no program.
//
// An error that speaks of a setting writes its name in square brackets, such as
// "give [width] 24in". [fault.Rename] puts another program's names in their place.
//
// Cost: reading grows with the size of the files, which is bounded by kind;
// everything else is small.
package job
