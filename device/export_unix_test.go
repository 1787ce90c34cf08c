//go:build unix

package device

var noLock = portLock{fd: -1}
