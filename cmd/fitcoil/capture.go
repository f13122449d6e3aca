package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/ringing"
)

func captureVerb() *verb {
	var o captureOptions
	return &verb{
		name: "capture", args: "FILE...", brief: "frequency and Q of scope captures, as rows of a log", least: 1, most: -1,
		about: `
Finds the tone in a capture that a scope saved as CSV: frequency, quality
factor, amplitude. A table of drive frequency and amplitude, or seven captures
of a steady tone or more, give them by the resonance curve.`,
		details: `
Of several voltages it takes the one that rings. With --row and the words of a
state it prints a row of a bench log; with --append it adds the row to a log.
What the capture leaves in doubt goes into the row's note.`,
		example: []string{
			"fitcoil capture testdata/captures/lighthouse-ringdown.csv",
			"fitcoil capture testdata/captures/lighthouse-ringdown.csv --row core=rod",
		},
		flags: func(c *call) {
			c.flags.Var(once(&o.column), "column", "voltage `column`: its name, number or letter; where several ring")
			c.flags.Var(once(&o.interval), "interval", "`time` between samples, such as 10ns; where the file doesn't say it")
			c.flags.Var(once(&o.timebase), "timebase", "relative `uncertainty` of the time base, such as 50ppm; a standard uncertainty")
			c.flags.Var(once(&o.row), "row", "`state` of the coil, such as core=rod, or bare; prints a row of a log")
			c.flags.Var(once(&o.log), "append", "log, a `file` to add the row to; made if missing")
			plotFlags(c)
			c.flags.Lookup("force").Usage = "overwrite files that fitcoil did not draw; append a reading that may be an alias"
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error { return c.capture(o) },
	}
}

// captureOptions are the flags of capture alone.
type captureOptions struct {
	column, interval, timebase, row, log string
}

// settings tells reader and analysis what the flags say.
func (o captureOptions) settings() (opt waveform.Options, set ringing.Settings, err error) {
	opt.Column = o.column
	if o.interval != "" {
		if opt.Interval, err = positive("interval", o.interval, quantity.Time, math.MaxFloat64, "a time above zero, as 10ns"); err != nil {
			return opt, set, err
		}
	}
	if o.timebase != "" {
		set.Timebase, err = positive("timebase", o.timebase, quantity.Fraction, math.MaxFloat64, "an uncertainty above zero, as 50ppm")
	}
	return opt, set, err
}

func (c *call) capture(o captureOptions) error {
	switch {
	case o.log == "-":
		return usagef("--append needs a file; leave it out to print the row")
	case o.log != "" && o.row == "":
		return usagef("--append needs the state of the coil in --row: bare, or words such as core=rod,added=4.7pF")
	case (c.opt.json || c.opt.csv) && (o.row != "" || o.log != ""):
		return usagef("--row and --append make a row of a log, which is CSV; leave --json and --csv out")
	}
	opt, set, err := o.settings()
	if err != nil {
		return err
	}
	list, sweeps, err := c.captures(opt, set)
	if err != nil {
		return err
	}
	sweeps = append(sweeps, driven(list, set)...)
	if o.log != "" && !c.opt.force {
		if err := loggable(list, o.log); err != nil {
			return err
		}
	}
	if c.opt.plots != "" {
		if err := c.draw(captureFigures(list, sweeps)); err != nil {
			return err
		}
	}
	switch {
	case o.row != "":
		return c.logRows(list, sweeps, o.row, o.log)
	case c.opt.csv:
		return report.CaptureCSV(c.out, list, sweeps)
	case c.opt.json:
		return report.CaptureJSON(c.out, list, sweeps)
	}
	return report.CaptureText(c.out, list, sweeps, c.view())
}

// captureFigures draws each capture, told apart by the name of its file.
func captureFigures(list []report.Captured, sweeps []report.Swept) (figures []figure.Figure) {
	for i, s := range sweeps {
		f := figure.Resonance(s.Result, s.Sweep.Unit)
		if len(sweeps) > 1 {
			f.Name += fmt.Sprintf("-%d", i+1)
		}
		figures = append(figures, f)
	}
	for _, k := range list {
		f := figure.Capture(k.Result)
		if len(list) > 1 {
			base := strings.TrimSuffix(filepath.Base(k.Capture.Name), filepath.Ext(k.Capture.Name))
			if k.Capture.Segment > 0 {
				base += fmt.Sprintf("-%d", k.Capture.Segment)
			}
			f.Name = base + "-" + f.Name
		}
		figures = append(figures, f)
	}
	return figures
}

// positive reads the value of a flag that is a quantity above zero, up to most.
func positive(flag, text string, d quantity.Dimension, most float64, expected string) (float64, error) {
	q, err := quantity.Form{Dimension: d}.Parse(text)
	if err == nil && !(q.Value > 0 && q.Value <= most) {
		err = &quantity.Error{Read: text, Expected: expected}
	}
	if err != nil {
		return 0, usagef("--%s: %v", flag, err)
	}
	return q.Value, nil
}

// captureError is a capture that holds no frequency.
type captureError struct {
	name string
	err  error
}

func (e *captureError) Error() string { return e.name + ": " + e.err.Error() }
func (e *captureError) Unwrap() error { return e.err }

// captures reads and analyses all files named.
func (c *call) captures(opt waveform.Options, set ringing.Settings) (list []report.Captured, sweeps []report.Swept, err error) {
	for _, name := range c.args {
		f, err := c.open(name)
		if err != nil {
			return nil, nil, err
		}
		read := c.share("read")
		opt.Progress = func(done, size int64) {
			if size > 0 {
				read(float64(done) / float64(size))
			}
		}
		file, err := waveform.Read(f, shown(name), opt)
		f.Close()
		if err != nil {
			return nil, nil, c.notACapture(name, readFault(name, err))
		}
		if file.Sweep != nil {
			if err := c.notACapture(name, nil); err != nil { // amplitudes beside frequencies
				return nil, nil, err
			}
			s, err := swept(file.Sweep, set)
			if err != nil {
				return nil, nil, c.notACapture(name, err)
			}
			sweeps = append(sweeps, s)
			continue
		}
		set.Progress = c.share("analysed")
		for _, record := range records(file.Captures) {
			k, err := analyse(record, set)
			if err != nil {
				return nil, nil, c.notACapture(name, err)
			}
			list = append(list, k)
		}
	}
	return list, sweeps, nil
}

// loggable refuses captures whose frequency may be that of an alias, or has no
// uncertainty: in a log nobody would notice.
func loggable(list []report.Captured, log string) error {
	for _, k := range list {
		for _, n := range k.Result.Notes {
			if n.Kind == ringing.MayBeAliased || n.Kind == ringing.NotOneSine && k.Result.Unclaimed {
				return &captureError{k.Capture.Name, fmt.Errorf("not added to %s: %s; or add it as it is with --force", shown(log), report.CaptureNote(n))}
			}
		}
	}
	return nil
}

// logRows prints the captures as rows of a log, or appends them to one.
func (c *call) logRows(list []report.Captured, sweeps []report.Swept, state, log string) error {
	var rows []benchlog.Row
	add := func(name string, r benchlog.Row) {
		for _, caution := range r.Cautions {
			c.note([]string{name + ": " + caution})
		}
		rows = append(rows, r)
	}
	together := false // the captures are one sweep, of one state
	for _, s := range sweeps {
		add(s.Sweep.Name, report.SweepRow(s, benchlog.Words(state)))
		if s.Captures > 0 {
			together = true
			c.note([]string{s.Sweep.Name + ": taken together as a sweep of the drive, one row for all"})
		}
	}
	for _, k := range list {
		if !together {
			add(k.Capture.Name, report.Row(k, benchlog.Words(state)))
		}
	}
	if log == "" {
		content, _, err := appendRows(nil, "the row", rows)
		if err == nil {
			_, err = c.out.Write(content)
		}
		return err
	}
	var unplaced []string
	err := c.update(log, func(old []byte) (content []byte, err error) {
		content, unplaced, err = appendRows(old, shown(log), rows)
		return content, err
	})
	if err != nil {
		return err
	}
	c.note(append([]string{shown(log) + ": " + quantity.Count(len(rows), "row") + " added"}, unplaced...))
	return nil
}

// appendRows adds rows to a log, and says what of them it has no column for.
func appendRows(content []byte, name string, rows []benchlog.Row) (out []byte, unplaced []string, err error) {
	out = content
	for _, r := range rows {
		var without []string
		if out, without, err = benchlog.Append(out, name, r); err != nil {
			if _, ok := errors.AsType[*benchlog.WordError](err); ok {
				return nil, nil, usagef("--row: %v", err)
			}
			if _, ok := errors.AsType[cells.Faults](err); ok {
				return nil, nil, err
			}
			return nil, nil, &sheetError{name, strings.TrimPrefix(strings.TrimPrefix(err.Error(), name+": "), name+" ")}
		}
		if len(without) > 0 {
			unplaced = append(unplaced, name+": no column for "+strings.Join(without, ", ")+": not written")
		}
	}
	return out, unplaced, nil
}

// share returns a function that shows a share of work done, as progress does.
func (c *call) share(what string) func(done float64) {
	step := c.progress("% "+what, 100)
	shown := 0
	return func(done float64) {
		for ; shown < int(100*done); shown++ {
			step()
		}
	}
}
