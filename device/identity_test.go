package device_test

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"weftplot/device"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// TestFirstJournals: journals of the first form, as they were written then with
// the profiles and programs beside them, are those of the same jobs still.
func TestFirstJournals(t *testing.T) {
	for _, c := range []struct {
		name  string
		drawn int
		again int
	}{{"gantry", 7, 1}, {"turned", 7, 1}} {
		file := func(ending string) string { return filepath.Join("testdata", "journals", c.name+ending) }
		profile, text, journal := readFile(t, file(".toml")), readFile(t, file(".txt")), readFile(t, file(".journal"))
		m, err := profiles.ParseMachine(c.name, profile)
		if err != nil {
			t.Fatal(err)
		}
		p, err := language.ReadAny(context.Background(), c.name, text, &m)
		if err != nil {
			t.Fatal(err)
		}
		job := device.Job{Program: p, Text: text, Machine: m, Marks: "0123abcd"}
		copied := filepath.Join(t.TempDir(), "journal")
		if err := os.WriteFile(copied, journal, 0o666); err != nil {
			t.Fatal(err)
		}
		j, err := device.ResumeJournal(copied, job)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		j.Close()
		if again, known := j.Again(); j.Drawn() != c.drawn || again != c.again || !known || j.Damaged {
			t.Errorf("%s: %d strokes drawn, %d again, %v, damaged %v; want %d and %d", c.name, j.Drawn(), again, known, j.Damaged, c.drawn, c.again)
		}
		for what, change := range map[string]func(*device.Job){
			"another machine": func(j *device.Job) { j.Machine.Speed.Draw++ },
			"another program": func(j *device.Job) { j.Text = append(j.Text[:len(j.Text):len(j.Text)], '\n') },
			"another regist":  func(j *device.Job) { j.Marks = "ffff" },
		} {
			other := job
			change(&other)
			if _, err := device.ResumeJournal(copied, other); err == nil || !strings.Contains(err.Error(), what) {
				t.Errorf("%s: %v, want %s", c.name, err, what)
			}
		}
	}
}

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestMachineText: the text in full. When this changes, journals of jobs that are
// under way are refused: raise the version and keep reading the one before.
func TestMachineText(t *testing.T) {
	m, err := profiles.ParseMachine("gantry", readFile(t, filepath.Join("testdata", "journals", "gantry.toml")))
	if err != nil {
		t.Fatal(err)
	}
	const want = `area=420 297
calibration.scale=1.004 0.9985
hpgl.bits=8
hpgl.force=0
hpgl.swap=false
hpgl.unit=0.025
language=gcode
lift.down="G1 Z0 F600"
lift.down_time=0.4
lift.up="G0 Z5" "G4 P0.1"
lift.up_time=0.25
origin=lower-left
serial.baud=115200
serial.buffer=127
serial.flow=line-ack
serial.manner=usual
speed.accel=400
speed.axes=60 50
speed.corner=2
speed.draw=40
speed.travel=66.7
`
	if got := device.MachineText(m); got != want {
		t.Errorf("the text is\n%s", got)
	}
	if got := device.MachineHash(m); got != "v1-c2c65f4f432d2696571442bdc2a4b25c" {
		t.Errorf("the hash is %s", got)
	}
}

// TestMachineTextKnowsEveryKey: each key of a profile changes the text, or is one
// of those that make no other machine.
func TestMachineTextKnowsEveryKey(t *testing.T) {
	leftOut := []string{"name", "about", "park", "wipe_at", "lift.words", "hpgl.not_ready", "gcode.arcs", "gcode.compact"}
	m := machine(t, "practice")
	usual := device.MachineText(m)
	seen := 0
	eachKey(reflect.ValueOf(&m).Elem(), "", func(key string, v reflect.Value) {
		seen++
		before := reflect.New(v.Type()).Elem()
		before.Set(v)
		v.Set(another(t, key, v))
		if same := device.MachineText(m) == usual; same != slices.Contains(leftOut, key) {
			t.Errorf("with another %s the text is the same: %v", key, same)
		}
		v.Set(before)
	})
	if seen < 30 {
		t.Errorf("only %d keys were found", seen)
	}
}

// eachKey visits the values of a profile that are no tables.
func eachKey(v reflect.Value, table string, visit func(key string, v reflect.Value)) {
	for i := range v.NumField() {
		key := table + v.Type().Field(i).Tag.Get("toml")
		if f := v.Field(i); f.Kind() == reflect.Struct {
			eachKey(f, key+".", visit)
		} else {
			visit(key, f)
		}
	}
}

// another returns another value of the same type.
func another(t *testing.T, key string, v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	switch v.Kind() {
	case reflect.String:
		out.SetString(v.String() + "x")
	case reflect.Int:
		out.SetInt(v.Int() + 1)
	case reflect.Float64:
		out.SetFloat(v.Float() + 1)
	case reflect.Bool:
		out.SetBool(!v.Bool())
	case reflect.Slice:
		out.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
	case reflect.Array:
		out.Index(0).Set(another(t, key, v.Index(0)))
	default:
		t.Fatalf("%s is a %v", key, v.Kind())
	}
	return out
}
