package bench_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// crossedRunner is a drawing with lines that run through all of it, so that every load after
// the first meets ink.
const crossedRunner = `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="200mm" viewBox="0 0 400 200" fill="none" stroke="black"><path d="M0 0h400v200h-400z"/><path d="M20 20l360 160M20 180l360 -160M20 60h360M20 100h360M20 140h360M100 20v160M200 20v160M300 20v160"/></svg>`

// TestLoadsOnThePage ticks the box that a refused size offers, draws load 1 of the rug, finds the points of load 2 one after the other
// with the pen of the simulated plotter, and draws it.
func TestLoadsOnThePage(t *testing.T) {
	long(t)
	t.Parallel()
	ctx := openedDrawn(t, serveAt(t, t.TempDir(), drawn(t, "runner.svg", crossedRunner), 1000))
	wide(t, ctx, 360, 740)
	step(t, ctx, "2")
	if !eval[bool](t, ctx, `document.querySelector('.loads').hidden`) {
		t.Error("loads are offered for a rug that fits")
	}
	setField(t, ctx, "Finished width", "800mm")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-rug [role=alert]') && !document.querySelector('.loads').hidden`)
	label(t, ctx, "Draw it in several loads")
	until(t, ctx, 20*time.Second, `document.querySelectorAll('.copies tbody tr').length === 2 && !document.querySelector('#step-rug [role=alert]')`)
	step(t, ctx, "8")
	until(t, ctx, 20*time.Second, `document.querySelector('#step-draw').textContent.includes('For load 1: lay the cloth')`)
	tickAndDraw(t, ctx)
	until(t, ctx, 60*time.Second, `document.querySelector('.copies').textContent.includes('load 1 drawn, load 2 due')`)
	until(t, ctx, 5*time.Second, `document.querySelector('#step-draw').textContent.includes('find its points on the step The cloth on the frame')`)
	eval[any](t, ctx, tickAll+`, 1`)
	if !eval[bool](t, ctx, buttonNamed("Draw")+`.disabled`) {
		t.Error("a load without marks can be drawn")
	}
	dueInView(t, ctx, "1 of 2 loads drawn; next load 2, to be found first.")
	wide(t, ctx, 360, 740)
	step(t, ctx, "6")
	until(t, ctx, 5*time.Second, `document.querySelector('#step-marks').textContent.includes('For load 2: lay the cloth')`)
	press(t, ctx, "Take the pen")
	until(t, ctx, 10*time.Second, `document.querySelector('.points h3').textContent.startsWith('Load 2: point 1 of ')`)
	points := eval[int](t, ctx, `Number(/ of (\d+),/.exec(document.querySelector('.points h3').textContent)[1])`)
	for n := 1; n <= points; n++ {
		until(t, ctx, 10*time.Second, fmt.Sprintf(`document.querySelector('.points h3').textContent.startsWith('Load 2: point %d of ')`, n))
		if !eval[bool](t, ctx, buttonNamed("Mark this place")+`.disabled`) {
			t.Fatalf("point %d can be marked before the pen is sent there", n)
		}
		press(t, ctx, "Go to the next point")
		until(t, ctx, 10*time.Second, `document.querySelector('.points').textContent.includes('The pen was sent to channel')`)
		until(t, ctx, 10*time.Second, `document.querySelector('.seen svg path.here') && document.querySelector('.seen svg path.weave')`)
		if n == 1 {
			look(t, ctx, "point")
			if *viewsTo != "" {
				wide(t, ctx, 1280, 1000)
				look(t, ctx, "point")
				wide(t, ctx, 360, 740)
			}
			atHand(t, ctx, "Pen left", "Pen right", "Pen away", "Pen near", "Go to the next point", "Mark this place", "Stop")
		}
		press(t, ctx, "Mark this place")
		until(t, ctx, 10*time.Second, fmt.Sprintf(`document.querySelector('#step-marks').textContent.includes('Mark %d is taken')`, n))
	}
	until(t, ctx, 5*time.Second, `/Error to expect at the joints: 0\.[0-2]\d channels/.test(document.querySelector('.points').textContent)`)
	press(t, ctx, "Leave the pen")
	until(t, ctx, 20*time.Second, fmt.Sprintf(`document.querySelector('#step-marks').textContent.includes('%d marks; error to expect at the joints: ')`, points))
	step(t, ctx, "8")
	tickUntil(t, ctx, "Draw")
	press(t, ctx, "Draw")
	look(t, ctx, "load-2")
	until(t, ctx, 60*time.Second, statusIs("Drawn"))
	if text := eval[string](t, ctx, `document.querySelector('[role=status]').textContent`); !strings.Contains(text, "as asked") || !strings.Contains(text, "All loads of the rug are drawn") {
		t.Error(text)
	}
}
