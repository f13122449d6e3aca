package main

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"time"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/readings"
)

// splitChanges tells the words of states from changes of the drawing, whose
// names alone may have several words.
func splitChanges(args []string) (words, changes []string) {
	for _, w := range args {
		name, _, _ := strings.Cut(w, "=")
		if coilsheet.IsChange(w) || strings.Contains(strings.TrimSpace(name), " ") && !strings.HasPrefix(name, "bare ") {
			changes = append(changes, w)
		} else {
			words = append(words, w)
		}
	}
	return words, changes
}

// drawn refuses changes where there is no drawing to change.
func (in *input) drawn() error {
	if in.Drawn == nil {
		return usagef("a change of the drawing needs --coil with a sheet that gives turns, winding diameter and winding length")
	}
	return nil
}

// rebuilt predicts states of the coil after changes of its drawing.
func (c *call) rebuilt(r *model.Result, in input, s *benchlog.States, list []readings.State, changes []string) (p report.Predictions, err error) {
	if err := in.drawn(); err != nil {
		return p, err
	}
	sheet, err := changed(in.sheet, changes)
	if err != nil {
		return p, err
	}
	after, err := sheet.Drawing().Predict()
	if err != nil {
		return p, usagef("%s: %v", strings.Join(changes, ", "), coilsheet.Worded(err))
	}
	b, err := decisions.NewRebuild(in.Drawn, after)
	if err != nil {
		return p, usagef("%s: %s", strings.Join(changes, ", "), in.notCarried(err))
	}
	p = report.Predictions{Parts: s.Parts(), Change: strings.Join(changes, ", ")}
	if p.List, err = decisions.RebuiltAll(r.Result, b, list, s.Parts()[len(r.Parts()):]); err != nil {
		return p, usagef("%s: %s", p.Change, in.idle(list))
	}
	return p, nil
}

// notCarried says why a change of the drawing isn't carried over, and what to do.
func (in *input) notCarried(err error) string {
	if !errors.Is(err, decisions.ErrCoversPart) {
		return coilsheet.Worded(err).Error()
	}
	from, to, _ := in.Drawn.Beads()
	stretch := quantity.Decimals(100*from, 0) + ".." + quantity.Decimals(100*to, 0) + "%"
	return fmt.Sprintf("a change of the beads is carried over from a drawing in which they fill the winding, and these cover %s of it; write that in the column covered of the log, and ask for the stretch that others cover, as core=%s covered=%s", stretch, in.Drawn.Drawing.Core, stretch)
}

// coveredInPart warns of a log that has the core all in whose beads are drawn along a part of the
// winding.
func (in *input) coveredInPart() []string {
	line := in.AllInOfPart()
	if line == 0 {
		return nil
	}
	from, to, _ := in.Drawn.Beads()
	return []string{fmt.Sprintf("core %s is drawn along %s..%s %% of the winding, and the log has it all in, first in line %d: give each such line the stretch that it covered (column covered), or draw the core as it was",
		in.Drawn.Drawing.Core, quantity.Decimals(100*from, 0), quantity.Decimals(100*to, 0), line)}
}

// idle says why a change of the beads changes nothing in these states.
func (in *input) idle(list []readings.State) string {
	core := in.Drawn.Drawing.Core
	if slices.ContainsFunc(list, func(s readings.State) bool { return s.Core == core }) {
		return "changes no frequency asked for: they are drawn so already, or the state says by covered where they are; without covered, they are where they are drawn"
	}
	return fmt.Sprintf("changes no frequency asked for, of states without the beads: give core=%s", core)
}

// changed returns a sheet with all changes. They are those of the coil, in all states asked of:
// one that another undoes is refused.
func changed(sheet *coilsheet.Sheet, changes []string) (*coilsheet.Sheet, error) {
	with := func(words []string) (s *coilsheet.Sheet, err error) {
		s = sheet
		for _, word := range words {
			if s, err = s.With(word); err != nil {
				return nil, usagef("in the change %q: %v", word, err)
			}
		}
		return s, nil
	}
	all, err := with(changes)
	if err != nil {
		return nil, err
	}
	for i, word := range changes {
		without, err := with(slices.Delete(slices.Clone(changes), i, i+1))
		if err != nil {
			return nil, err
		}
		alone, err := with(changes[i : i+1])
		if err != nil {
			return nil, err
		}
		if reflect.DeepEqual(without.Drawing(), all.Drawing()) && !reflect.DeepEqual(alone.Drawing(), sheet.Drawing()) {
			return nil, usagef("%q is undone by another change: a change is that of the coil, in all states; ask for one after the other, or --sweep", word)
		}
	}
	return all, nil
}

// sweepPoints is how many values of a quantity a sweep computes.
const sweepPoints = 15

// sweep shows what a change of the drawing does over a range.
func (c *call) sweep(r *model.Result, in input, s *benchlog.States, list []readings.State, text string) error {
	if err := in.drawn(); err != nil {
		return err
	}
	if len(list) != 1 {
		return usagef("--sweep takes one state, not %d", len(list))
	}
	w, err := coilsheet.ParseSweep(text)
	if err != nil {
		return usagef("--sweep: %v", err)
	}
	var drawings []drawing.Drawing
	values := w.Values(sweepPoints)
	for _, v := range values {
		d := w.At(in.sheet, v).Drawing()
		if err := d.Coil.Check(); err != nil {
			return usagef("--sweep: %v", coilsheet.Worded(err))
		}
		d.Variants = nil // what is uncertain now is so at every value
		drawings = append(drawings, d)
	}
	all, err := drawing.PredictAll(drawings, c.progress("drawings computed", len(drawings)))
	if err != nil {
		return usagef("--sweep: %v", coilsheet.Worded(err))
	}
	points, err := decisions.Sweep(r.Result, in.Drawn, all, list[0], s.Parts()[len(r.Parts()):])
	switch {
	case errors.Is(err, decisions.ErrIdle):
		return usagef("--sweep: %s %s", w.Name, in.idle(list))
	case err != nil:
		return usagef("--sweep: %s", in.notCarried(err))
	}
	out := report.NewSweep(w.Name, values, func(v float64) string { return w.Unit.Format(v, 0).String() }, points)
	if c.opt.plots != "" {
		if err := c.draw([]figure.Figure{figure.Rebuilds(w.Name, w.Base(), values, w.Now(in.sheet), points)}); err != nil {
			return err
		}
	}
	switch {
	case c.opt.json:
		return report.SweepJSON(c.out, r, out, in.src)
	case c.opt.csv:
		return report.SweepCSV(c.out, out)
	}
	return report.SweepText(c.out, r, out, in.src, c.view())
}

// progress returns a function to call after each of n steps, which shows how
// far the work is once it takes more than a second, on a terminal only.
func (c *call) progress(what string, n int) func() {
	i := 0
	tell := c.progressTo(what, n)
	return func() {
		i++
		tell(i)
	}
}

// patience is how long work goes on before a terminal is told how far it is.
var patience = time.Second

// progressTo is progress by how many steps are done.
func (c *call) progressTo(what string, n int) func(done int) {
	start := time.Now()
	return func(i int) {
		if !c.terminal || c.opt.quiet || time.Since(start) < patience {
			return
		}
		fmt.Fprintf(c.bar, "\r%d of %d %s", i, n, what)
		if i == n {
			io.WriteString(c.bar, "\n")
		}
	}
}
