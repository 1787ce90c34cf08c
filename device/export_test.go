package device

// NeedsHome reports whether the machine lost its place when the job broke off, so
// that it must be brought home before the job goes on.
func (j *Journal) NeedsHome() bool { return j.left == leftLost }

// MachineText and MachineHash show how a journal knows a machine.
var (
	MachineText = machineText
	MachineHash = machineHash
)
