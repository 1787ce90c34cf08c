package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// rooms are the packages of the house from left to right: each may use only
// those to its left, and its own.
var rooms = []string{"weftplot/paths", "weftplot/profiles", "weftplot/plot", "weftplot/device", "weftplot/cmd"}

// pure are packages that geometry must do without: files, clocks, processes and
// lines.
var pure = []string{"os", "time", "net", "os/exec", "go.bug.st/serial", "log"}

func roomOf(pkg string) int {
	for i, r := range rooms {
		if pkg == r || strings.HasPrefix(pkg, r+"/") {
			return i
		}
	}
	return -1
}

func TestEachRoomUsesOnlyThoseToItsLeft(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}}:{{join .Imports \" \"}}", "weftplot/...").Output()
	if err != nil {
		t.Skipf("the go command is not at hand: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) < 10 {
		t.Fatalf("only %d packages were listed", len(lines))
	}
	for _, line := range lines {
		pkg, imports, _ := strings.Cut(line, ":")
		room := roomOf(pkg)
		if room < 0 {
			t.Errorf("%s stands in no room", pkg)
		}
		for _, imp := range strings.Fields(imports) {
			if r := roomOf(imp); r > room {
				t.Errorf("%s uses %s, which lies to its right", pkg, imp)
			}
			for _, p := range pure {
				if room == 0 && imp == p {
					t.Errorf("%s uses %s: geometry knows no files, clocks or lines", pkg, imp)
				}
			}
			if room < 3 && imp == "go.bug.st/serial" {
				t.Errorf("%s opens ports", pkg)
			}
		}
	}
}

// flowMay is what a flow control may use.
var flowMay = []string{"weftplot/paths", "weftplot/paths/fault", "weftplot/profiles", "weftplot/plot/language", "weftplot/plot/program",
	"weftplot/device/line", "weftplot/device/timeline", "weftplot/device/flow", "weftplot/device/flow/answers"}

// inner rooms lie within a room of the house. Each may use, of this module, only
// what is listed for it; tests may use more.
var inner = []struct {
	pkg string
	use []string
	why string
}{
	{"weftplot/paths", []string{"weftplot/paths/fault"}, "it is what all else is made of"},
	{"weftplot/paths/fault", []string{}, "every package may return its errors"},
	{"weftplot/paths/cores", []string{}, "any work may be shared out"},
	{"weftplot/paths/warp", []string{"weftplot/paths"}, "it bends strokes, whatever for"},
	{"weftplot/paths/deviation", []string{"weftplot/paths"}, "it measures strokes, and changes none"},
	{"weftplot/paths/near", []string{"weftplot/paths", "weftplot/paths/cores"}, "it is shared by all that works on geometry"},
	{"weftplot/paths/weave", []string{"weftplot/paths", "weftplot/paths/fault"}, "snapping and cloth know the weave, and not the other way round"},
	{"weftplot/paths/weave/snap", []string{"weftplot/paths", "weftplot/paths/cores", "weftplot/paths/fault", "weftplot/paths/near", "weftplot/paths/warp", "weftplot/paths/weave", "weftplot/paths/weave/holes", "weftplot/paths/weave/snap/carry", "weftplot/paths/weave/snap/choice",
		"weftplot/paths/weave/snap/pins", "weftplot/paths/weave/snap/rings", "weftplot/paths/weave/snap/slanting", "weftplot/paths/weave/snap/touch", "weftplot/paths/weave/snap/web"},
		"choosing channels knows nothing of stretched cloth"},
	{"weftplot/paths/weave/snap/choice", []string{"weftplot/paths/cores", "weftplot/paths/near"}, "it knows lines and numbers, and no drawing"},
	{"weftplot/paths/weave/snap/carry", []string{"weftplot/paths/weave/snap/choice", "weftplot/paths/weave/snap/web"}, "it knows guides, and no drawing"},
	{"weftplot/paths/weave/snap/web", []string{"weftplot/paths", "weftplot/paths/cores", "weftplot/paths/near", "weftplot/paths/weave"}, "it numbers ends, and knows no channels"},
	{"weftplot/paths/weave/snap/rings", []string{"weftplot/paths"}, "it knows closed shapes, and no weave"},
	{"weftplot/paths/weave/snap/pins", []string{"weftplot/paths", "weftplot/paths/cores", "weftplot/paths/near", "weftplot/paths/weave/snap/web"}, "it knows where strokes meet, and no weave"},
	{"weftplot/paths/weave/snap/touch", []string{"weftplot/paths", "weftplot/paths/near", "weftplot/paths/weave", "weftplot/paths/weave/snap/carry", "weftplot/paths/weave/snap/web"}, "it knows points and lines, and no strokes"},
	{"weftplot/paths/weave/snap/slanting", []string{"weftplot/paths", "weftplot/paths/weave/snap/web"}, "it knows lines between vertices, and no weave"},
	{"weftplot/paths/weave/cloth", []string{"weftplot/paths", "weftplot/paths/fault", "weftplot/paths/near", "weftplot/paths/keyfile", "weftplot/paths/warp", "weftplot/paths/weave", "weftplot/paths/weave/cloth/models"},
		"finding the cloth knows nothing of designs"},
	{"weftplot/paths/weave/cloth/models", []string{"weftplot/paths", "weftplot/paths/weave"}, "it fits maps, and judges none"},
	{"weftplot/paths/join", []string{"weftplot/paths", "weftplot/paths/cores", "weftplot/paths/fault", "weftplot/paths/near"}, "joining comes before, and does without, ordering"},
	{"weftplot/paths/order", []string{"weftplot/paths", "weftplot/paths/cores", "weftplot/paths/fault", "weftplot/paths/near"}, "ordering takes strokes as they are"},
	{"weftplot/paths/outline", []string{"weftplot/paths", "weftplot/paths/near"}, "it knows painted areas and no file"},
	{"weftplot/paths/inspect", []string{"weftplot/paths", "weftplot/paths/near"}, "it looks and changes nothing"},
	{"weftplot/plot/layout", []string{"weftplot/paths", "weftplot/paths/fault", "weftplot/paths/letters", "weftplot/paths/weave", "weftplot/paths/weave/frieze", "weftplot/paths/weave/snap", "weftplot/plot/figures", "weftplot/plot/job"},
		"a rug is laid out before any machine is thought of"},
	{"weftplot/device/flow/answers", []string{"weftplot/paths", "weftplot/profiles"}, "it reads lines, and knows no port and no program"},
	{"weftplot/device/flow", []string{"weftplot/paths", "weftplot/paths/fault", "weftplot/profiles", "weftplot/plot/language", "weftplot/plot/program", "weftplot/device/timeline"},
		"it says what a flow control is, and is none"},
	{"weftplot/device/flow/acked", append(slices.Clone(flowMay), "weftplot/plot/gcode"), "it speaks G-code, and knows nothing of the streamed flows"},
	{"weftplot/device/flow/streamed", flowMay, "it knows nothing of the line-acknowledged flow"},
}

func TestInnerRoomsUseOnlyWhatTheyMay(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skipf("the go command is not at hand: %v", err)
	}
	args := []string{"list", "-f", "{{.ImportPath}}:{{join .Imports \" \"}}"}
	for _, room := range inner {
		args = append(args, room.pkg)
	}
	out, err := exec.Command("go", args...).Output()
	if err != nil {
		t.Fatalf("a room cannot be listed: %v", err)
	}
	imports := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		pkg, used, _ := strings.Cut(line, ":")
		imports[pkg] = strings.Fields(used)
	}
	for _, room := range inner {
		used, listed := imports[room.pkg]
		if !listed {
			t.Errorf("%s is not listed", room.pkg)
		}
		for _, imp := range used {
			if strings.HasPrefix(imp, "weftplot/") && !slices.Contains(room.use, imp) {
				t.Errorf("%s uses %s: %s", room.pkg, imp, room.why)
			}
		}
	}
}
