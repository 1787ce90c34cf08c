// Package line is the byte line between this computer and a machine: the serial
// ports there are, opening one for one sender only, and waiting for what comes.
//
// All waiting happens in [Wire.Read], which reads one clock, [Port.Now]. A port
// to a real machine waits in real time; a simulated one lets its own time pass,
// so hours of work are tested in milliseconds.
//
// The package knows no flow control and no language. It retries nothing: a line
// that broke stays broken. Opening a port may restart the controller behind it.
// A Wire keeps at most 64 KiB of what came and was not used; every call costs
// time in proportion to the bytes that it handles.
package line
