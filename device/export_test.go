package device

// MachineText and MachineHash show how a journal knows a machine.
var (
	MachineText = machineText
	MachineHash = machineHash
)
