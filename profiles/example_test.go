package profiles_test

import (
	"fmt"
	"strings"

	"weftplot/profiles"
)

// A user's own profile can be a built-in one with a few keys changed. An error
// names the file and the key.
func ExampleParseMachine() {
	text, err := profiles.Source(profiles.MachineKind, "gantry-z")
	if err != nil {
		fmt.Println(err)
		return
	}
	own := strings.Replace(string(text), `accepted = "ok"`, `accepted = "fine"`, 1)
	m, err := profiles.ParseMachine("barn-gantry.toml", []byte(own))
	fmt.Println(m.Serial.Manner.Accepted, err)

	wrong := strings.Replace(string(text), `ask = "?"`, `ask = "status"`, 1)
	_, err = profiles.ParseMachine("barn-gantry.toml", []byte(wrong))
	fmt.Println(err)
	// Output:
	// fine <nil>
	// barn-gantry.toml: serial.manner.ask: "status" is not allowed here
}

// The form of a status report splits a report into its parts.
func ExampleManner_StatusForm() {
	form, err := profiles.UsualManner().StatusForm()
	if err != nil {
		fmt.Println(err)
		return
	}
	parts := form.FindStringSubmatch("<run 12.300,4.500,0.000>")
	for _, name := range []string{"state", "x", "y", "z"} {
		fmt.Println(name, parts[form.SubexpIndex(name)])
	}
	// Output:
	// state run
	// x 12.300
	// y 4.500
	// z 0.000
}
