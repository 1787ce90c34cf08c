// Package requests reads what the page asks and writes what it is answered: the bodies of
// requests within bounds of size and time, answers and troubles as JSON, and the server
// that only this computer reaches. It knows nothing of jobs.
package requests
