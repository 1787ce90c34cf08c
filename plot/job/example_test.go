package job_test

import (
	"errors"
	"fmt"
	"log"

	"weftplot/paths/fault"
	"weftplot/plot/job"
)

func ExampleParseSettings() {
	s, err := job.ParseSettings("job.toml", []byte("design = \"mat.svg\"\nwidth = \"61cm\"\nborder = \"4,2\"\n"))
	if err != nil {
		log.Fatal(err)
	}
	rows, err := s.BorderRows()
	fmt.Println(s.Width, rows, s.Craft, err)

	_, err = job.ParseSettings("job.toml", []byte("design = \"mat.svg\"\nwidth = 24\n"))
	fmt.Println(err, errors.Is(err, fault.Input))
	// Output:
	// 610mm [4 2] punch-needle <nil>
	// job.toml: width: the number 24 has no unit true
}

func ExampleSettings_With() {
	s, err := job.Settings{Design: "mat.svg", Height: 500}.With(map[string][]string{
		"width":     {"61cm"},
		"clearance": {"0"},
		"pen-for":   {"lettering=extra-fine-marker"},
	})
	fmt.Println(s.Width, s.Height, s.ClearRows(), s.PenFor, err)

	_, err = s.With(map[string][]string{"at": {"50mm"}})
	fmt.Println(err)
	fmt.Println(fault.Rename(err.Error(), func(setting string) string { return "--" + setting }))
	// Output:
	// 610mm 0mm 0 map[lettering:extra-fine-marker] <nil>
	// [at]: "50mm" is not a place
	// --at: "50mm" is not a place
}
