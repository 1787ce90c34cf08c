// Package line is for the byte line between this computer and a machine: it
// lists the serial ports, opens one for a single sender, and waits for bytes.
//
// All waiting happens in [Wire.Read], which reads one clock, [Port.Now]. A port
// to a real machine waits in real time; a simulated one lets its own time pass,
// so hours of work are tested in milliseconds.
//
// The package has no flow control and no language, and never retries: a line
// that broke stays broken. Opening a port may restart the controller behind it.
// A Wire keeps at most 64 KiB of bytes that were received and not used; every
// call costs time in proportion to the bytes that it handles.
package line
