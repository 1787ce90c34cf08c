package main

import (
	"bytes"
	"errors"
	"flag"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/draw"
	"golang.org/x/image/font/gofont/goregular"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain runs the tests, or the program where a test starts it. Most tests wait
// for a simulated plotter: more of them run side by side than there are cores. They make
// whole jobs in this process, and what the program gains by giving memory back less often
// they gain too; the limit bounds what they take. A program that a test starts sets its own.
func TestMain(m *testing.M) {
	flag.Set("test.parallel", "8")
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(1200)
		debug.SetMemoryLimit(1 << 30)
	}
	testscript.Main(m, map[string]func(){"weftplot": func() { os.Exit(Main()) }})
}

// TestScripts runs the command lines in testdata/script; see the package
// testscript for the form. "status N COMMAND ..." wants the exit status N;
// $SAMPLES is the folder of test data that packages share.
func TestScripts(t *testing.T) {
	t.Parallel()
	runScripts(t, "testdata/script")
}

// TestLongScripts runs those that take seconds of work each, where all is to be
// tested.
func TestLongScripts(t *testing.T) {
	if !*thorough {
		t.Skip("-thorough runs them")
	}
	t.Parallel()
	runScripts(t, "testdata/longscript")
}

func runScripts(t *testing.T, dir string) {
	t.Helper()
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup: func(env *testscript.Env) error {
			samples, err := filepath.Abs("../../testdata")
			if err != nil {
				return err
			}
			env.Setenv("SAMPLES", samples)
			if strings.HasPrefix(filepath.Base(env.WorkDir), "script-scan") {
				if err := halfSize(filepath.Join(samples, "scans"), env.WorkDir, "harbour-pencil.jpg", "harbour-photo.jpg", "inks.jpg"); err != nil {
					return err
				}
			}
			return os.WriteFile(filepath.Join(env.WorkDir, "rope.ttf"), goregular.TTF, 0o644) // a font for text
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": wantStatus,
		},
	})
}

// halfSize writes scanned samples at half their size, where what is asked of them does
// not take all of their pixels.
func halfSize(from, to string, names ...string) error {
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			return err
		}
		whole, _, err := image.Decode(bytes.NewReader(data))
		if err != nil {
			return err
		}
		half := image.NewRGBA(image.Rect(0, 0, whole.Bounds().Dx()/2, whole.Bounds().Dy()/2))
		draw.ApproxBiLinear.Scale(half, half.Rect, whole, whole.Bounds(), draw.Src, nil)
		var b bytes.Buffer
		if err := jpeg.Encode(&b, half, &jpeg.Options{Quality: 95}); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, "half-"+name), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func wantStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [args]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}
