package bench_test

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// control is a node of the browser's own accessibility tree.
type control struct {
	role, name string
	disabled   bool
}

// controls lists what somebody who cannot see the page is told of it.
func controls(t *testing.T, ctx context.Context) []control {
	t.Helper()
	got, err := chromedp.Run(ctx, func(ctx context.Context, to *chromedp.Target) (accessibility.GetFullAXTreeResult, error) {
		return cdp.Call(ctx, to, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	})
	must(t, err)
	text := func(v *accessibility.Value) string {
		var s string
		if v != nil {
			_ = json.Unmarshal(v.Value, &s) // what is no text has no name
		}
		return s
	}
	var out []control
	for _, n := range got.Nodes {
		if n.Ignored {
			continue
		}
		c := control{role: text(n.Role), name: text(n.Name)}
		for _, p := range n.Properties {
			c.disabled = c.disabled || p.Name == "disabled" && string(p.Value.Value) == "true"
		}
		out = append(out, c)
	}
	return out
}

// find returns the controls of a role whose name begins so.
func find(list []control, role, name string) []control {
	return slices.DeleteFunc(slices.Clone(list), func(c control) bool {
		return c.role != role || !strings.HasPrefix(c.name, name)
	})
}

// TestNames goes through all steps and looks for every control by the role and
// the name that it is driven by from outside.
func TestNames(t *testing.T) {
	t.Parallel()
	s := serve(t, t.TempDir(), "")
	ctx := pageOf(t, s)
	until(t, ctx, 10*time.Second, statusIs("Ready"))
	tabs(t, ctx)
	upload(t, ctx, "Drawing", "../demo/lighthouse-mat.svg")
	until(t, ctx, 20*time.Second, drawnCloths)
	until(t, ctx, 20*time.Second, can("Rehearse"))

	names(t, ctx)
	for label, option := range map[string]string{"Backing": "monks-cloth", "Machine": "practice", "Pen": "fine-marker", "Port": "sim"} {
		if !eval[bool](t, ctx, `[...document.getElementById([...document.querySelectorAll('label')].find(l => l.textContent === `+quote(label)+`).htmlFor).options].some(o => o.text === `+quote(option)+`)`) {
			t.Errorf("%s does not offer %s", label, option)
		}
	}
	inView(t, ctx)
	if *thorough {
		ticks(t, ctx)
	}
}

// tabs looks whether Tab reaches the file input.
func tabs(t *testing.T, ctx context.Context) {
	t.Helper()
	reached := false
	for range 30 {
		must(t, chromedp.Do(ctx, chromedp.KeyEvent("\t")))
		if reached = eval[bool](t, ctx, `document.activeElement.type === 'file' && document.activeElement.labels[0].textContent === 'Drawing'`); reached {
			break
		}
	}
	if !reached {
		t.Error("Tab does not reach the file input Drawing")
	}
}

// onEveryStep looks for what stands on each of the steps among the controls of one.
func onEveryStep(t *testing.T, step int, list []control) {
	t.Helper()
	for _, one := range []control{{role: "main"}, {role: "navigation", name: "Steps"}, {role: "status"}, {role: "image", name: "Back of the rug"}, {role: "image", name: "Front of the rug"}} {
		if got := find(list, one.role, one.name); len(got) != 1 {
			t.Errorf("step %d: %d of role %s, name %q, want one", step, len(got), one.role, one.name)
		}
	}
}

// names looks for what stands on one of the steps, whichever.
func names(t *testing.T, ctx context.Context) {
	t.Helper()
	want := map[string]control{}
	for _, c := range []control{
		{role: "textbox", name: "Finished width"}, {role: "textbox", name: "Finished height"}, {role: "textbox", name: "Borders"},
		{role: "radiogroup", name: "Craft"}, {role: "radio", name: "Punch needle"}, {role: "radio", name: "Hooking"},
		{role: "radiogroup", name: "Transfer"}, {role: "radio", name: "Drawn on the backing"}, {role: "radio", name: "Traced over light"}, {role: "radio", name: "Ironed on"},
		{role: "combobox", name: "Backing"}, {role: "combobox", name: "Machine"}, {role: "combobox", name: "Pen"}, {role: "combobox", name: "Port"},
		{role: "button", name: "Once round the edge"}, {role: "button", name: "Rehearse"}, {role: "button", name: "Draw"}, {role: "button", name: "Resume"},
	} {
		want[c.role+" "+c.name] = c
	}
	layers := map[string]bool{"lighthouse": false, "sea": false, "lettering": false}
	for n := 1; n <= 8; n++ {
		step(t, ctx, fmt.Sprint(n))
		time.Sleep(150 * time.Millisecond)
		list := controls(t, ctx)
		onEveryStep(t, n, list)
		for key, c := range want {
			if got := find(list, c.role, c.name); slices.ContainsFunc(got, func(g control) bool { return g.name == c.name }) {
				delete(want, key)
			}
		}
		text := eval[string](t, ctx, `document.querySelector('.step:not([hidden])').innerText`)
		for l := range layers {
			layers[l] = layers[l] || strings.Contains(text, l)
		}
	}
	for key := range want {
		t.Errorf("no step has a %s", key)
	}
	for l, shown := range layers {
		if !shown {
			t.Errorf("no step shows the name of the layer %s", l)
		}
	}
}

// inView looks whether both pictures and Finished width are seen at once.
func inView(t *testing.T, ctx context.Context) {
	t.Helper()
	must(t, chromedp.Do(ctx, chromedp.EmulateViewport(1280, 1000)))
	step(t, ctx, "2")
	time.Sleep(300 * time.Millisecond)
	for what, e := range map[string]string{
		"the front": `document.querySelector('.front [role=img]')`, "the back": `document.querySelector('.back [role=img]')`,
		"Finished width": `document.getElementById([...document.querySelectorAll('label')].find(l => l.textContent === 'Finished width').htmlFor)`,
	} {
		r := eval[[]float64](t, ctx, `(r => [r.left, r.top, r.right, r.bottom])(`+e+`.getBoundingClientRect())`)
		if r[0] < 0 || r[1] < 0 || r[2] > 1280 || r[3] > 1000 || r[2]-r[0] < 50 {
			t.Errorf("%s is not in view: %v", what, r)
		}
	}
}

// ticks goes through the rehearsal and the list to tick, and draws.
func ticks(t *testing.T, ctx context.Context) {
	t.Helper()
	step(t, ctx, "8")
	boxes := eval[int](t, ctx, `document.querySelectorAll('#step-draw input[type=checkbox]').length`)
	if boxes == 0 {
		t.Error("nothing is to be ticked before drawing")
	}
	press(t, ctx, "Rehearse")
	until(t, ctx, 10*time.Second, statusIs("Rehearsing"))
	press(t, ctx, "Lift")
	until(t, ctx, 10*time.Second, statusIs("Held"))
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	for n := range boxes {
		if eval[bool](t, ctx, can("Draw")) {
			t.Errorf("Draw can be pressed with %d of %d lines ticked", n, boxes)
		}
		eval[any](t, ctx, fmt.Sprintf(`document.querySelectorAll('#step-draw input[type=checkbox]')[%d].click(), 1`, n))
	}
	until(t, ctx, 2*time.Second, can("Draw"))
	must(t, chromedp.Do(ctx, chromedp.Reload()))
	until(t, ctx, 10*time.Second, drawnCloths)
	step(t, ctx, "8")
	if eval[int](t, ctx, `document.querySelectorAll('#step-draw input:checked').length`) > 0 {
		t.Error("ticks are kept over a reload")
	}
	tickAndDraw(t, ctx)
	until(t, ctx, 5*time.Second, statusIs("Drawing"))
	for n := 1; n <= 8; n++ {
		step(t, ctx, fmt.Sprint(n))
		list := controls(t, ctx)
		for _, name := range []string{"Hold", "Lift", "Stop"} {
			if got := find(list, "button", name); len(got) != 1 || got[0].disabled {
				t.Errorf("step %d: %s: %v while the machine moves", n, name, got)
			}
		}
	}
	press(t, ctx, "Stop")
	until(t, ctx, 10*time.Second, statusIs("Stopped"))
	step(t, ctx, "8")
	tickUntil(t, ctx, "Resume")
}
