package plot

import (
	"context"
	"reflect"
	"slices"
	"sync"

	"weftplot/paths/weave/cloth"
)

// Divided remembers the rug in several loads that was drawn and divided last. Its loads are
// found on the cloth one after the other, and the marks of each change its programs alone:
// the drawing is not made again for them. The zero value remembers nothing. It may be used
// by several goroutines at once.
type Divided struct {
	mu   sync.Mutex
	last *panelMaker // as it was divided; nothing in it is changed
	of   Laid        // what it was made from, without its marks
}

// withoutMarks returns a rug as it is laid out, without the marks that it is found by. Only
// whether the whole rug has marks is left: its lines are drawn a little finer then.
func (l Laid) withoutMarks() Laid {
	l.Inputs.MarksFor, l.Settings.MarksFor, l.Settings.At = nil, nil, nil
	l.Settings.Marks = ""
	if len(l.Inputs.Marks) > 0 {
		l.Inputs.Marks = make([]cloth.Mark, 1)
	}
	return l
}

// get returns a maker for a rug that was divided before, nil for another.
func (d *Divided) get(laid Laid) *panelMaker {
	if d == nil {
		return nil
	}
	d.mu.Lock()
	last, of := d.last, d.of
	d.mu.Unlock()
	if last == nil || !reflect.DeepEqual(of, laid.withoutMarks()) {
		return nil
	}
	p := last.clone()
	p.joined.Inputs.Marks, p.joined.Inputs.MarksFor = laid.Inputs.Marks, laid.Inputs.MarksFor
	p.joined.Settings.Marks, p.joined.Settings.MarksFor, p.joined.Settings.At = laid.Settings.Marks, laid.Settings.MarksFor, laid.Settings.At
	return p
}

// put remembers a maker that divided its rug just now.
func (d *Divided) put(laid Laid, p *panelMaker) {
	if d == nil {
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.last, d.of = p.clone(), laid.withoutMarks()
}

// clone returns a maker whose loads can be made without those of p.
func (p *panelMaker) clone() *panelMaker {
	c := *p
	c.loads, c.Notes, c.Joints = slices.Clone(p.loads), slices.Clone(p.Notes), slices.Clone(p.Joints)
	return &c
}

// dividedMaker draws a rug, and divides it where the machine does not reach all of it. What
// was divided before is not done again.
func dividedMaker(ctx context.Context, laid Laid, opt Options) (*panelMaker, error) {
	p := opt.Divided.get(laid)
	if p == nil {
		var err error
		if p, err = newPanelMaker(ctx, laid, opt); err != nil || p.whole() {
			return p, err
		}
		if err := p.divide(ctx); err != nil {
			return nil, err
		}
		opt.Divided.put(laid, p)
	}
	p.sayThreadsAlone()
	return p, nil
}
