package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
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
		name: "capture", args: "FILE...", brief: "the frequency in scope captures, and a row for the log", least: 1, most: -1,
		about: `
Finds the table in a capture that a scope saved as CSV, and the tone in it:
frequency with its standard uncertainty, quality factor, damping, amplitude.
With --row and the words of a state it prints a row of a bench log; with
--append it adds the row to a log.`,
		example: []string{
			"fitcoil capture lighthouse-ringdown.csv",
			"fitcoil capture lighthouse-ringdown.csv --row core=rod,added=4.7pF",
			"fitcoil capture lighthouse-ringdown.csv --row core=rod --append session.csv",
		},
		flags: func(c *call) {
			c.flags.Var(once(&o.column), "column", "voltage `column`, by name, number or letter, where there are several")
			c.flags.Var(once(&o.interval), "interval", "`time` between samples where the file doesn't tell, as 10ns")
			c.flags.Var(once(&o.timebase), "timebase", "relative standard `uncertainty` of the scope's time base, as 50ppm")
			c.flags.Var(once(&o.row), "row", "`state` of the coil, as core=rod,added=4.7pF, or bare: print a row of a log")
			c.flags.Var(once(&o.log), "append", "`file` of the log to add the row to; made if missing")
			plotFlags(c)
			outputFlags(c)
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
		if opt.Interval, err = positive(o.interval, quantity.Time, "a time above zero, as 10ns"); err != nil {
			return opt, set, usagef("--interval: %v", err)
		}
	}
	if o.timebase != "" {
		if set.Timebase, err = positive(o.timebase, quantity.Fraction, "an uncertainty above zero, as 50ppm"); err != nil {
			return opt, set, usagef("--timebase: %v", err)
		}
	}
	return opt, set, nil
}

func (c *call) capture(o captureOptions) error {
	switch {
	case o.log == "-":
		return usagef("--append needs a file; leave it out to print the row")
	case c.opt.json && (o.row != "" || o.log != ""):
		return usagef("--row and --append make a row of a log, which is CSV; leave --json out")
	}
	opt, set, err := o.settings()
	if err != nil {
		return err
	}
	list, err := c.captures(opt, set)
	if err != nil {
		return err
	}
	if c.opt.plots != "" {
		if err := c.draw(captureFigures(list)); err != nil {
			return err
		}
	}
	switch {
	case o.row != "" || o.log != "":
		return c.logRows(list, o.row, o.log)
	case c.opt.json:
		return report.CaptureJSON(c.out, list)
	}
	return report.CaptureText(c.out, list)
}

// captureFigures draws each capture, told apart by the name of its file.
func captureFigures(list []report.Captured) (figures []figure.Figure) {
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

// positive reads a quantity above zero.
func positive(text string, d quantity.Dimension, expected string) (float64, error) {
	q, err := quantity.Form{Dimension: d}.Parse(text)
	if err == nil && q.Value <= 0 {
		err = &quantity.Error{Read: text, Expected: expected}
	}
	return q.Value, err
}

// captureError is a capture that holds no frequency.
type captureError struct {
	name string
	err  error
}

func (e *captureError) Error() string { return e.name + ": " + e.err.Error() }
func (e *captureError) Unwrap() error { return e.err }

// captures reads and analyses all files named.
func (c *call) captures(opt waveform.Options, set ringing.Settings) (list []report.Captured, err error) {
	for _, name := range c.args {
		f, err := c.open(name)
		if err != nil {
			return nil, err
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
			return nil, readFault(name, err)
		}
		set.Progress = c.share("analysed")
		for _, record := range records(file.Captures) {
			k, err := analyse(record, set)
			if err != nil {
				return nil, err
			}
			list = append(list, k)
		}
	}
	return list, nil
}

// logRows prints the captures as rows of a log, or appends them to one.
func (c *call) logRows(list []report.Captured, state, log string) error {
	var rows []benchlog.Row
	for _, k := range list {
		rows = append(rows, report.Row(k, benchlog.Words(state)))
	}
	if log == "" {
		content, err := appendRows(nil, "the row", rows)
		if err == nil {
			_, err = c.out.Write(content)
		}
		return err
	}
	old, err := os.ReadFile(log)
	fresh := errors.Is(err, fs.ErrNotExist)
	if err != nil && !fresh {
		return &unreadableError{log, err}
	}
	content, err := appendRows(old, log, rows)
	if err != nil {
		return err
	}
	if fresh {
		err = c.write(log, content)
	} else {
		err = c.replace(log, old, content)
	}
	if err != nil {
		return err
	}
	added := "1 row added"
	if len(rows) > 1 {
		added = fmt.Sprintf("%d rows added", len(rows))
	}
	c.note([]string{log + ": " + added})
	return nil
}

func appendRows(content []byte, name string, rows []benchlog.Row) (out []byte, err error) {
	out = content
	for _, r := range rows {
		if out, err = benchlog.Append(out, name, r); err != nil {
			var word *benchlog.WordError
			if errors.As(err, &word) {
				return nil, usagef("--row: %v", err)
			}
			var faults cells.Faults
			if errors.As(err, &faults) {
				return nil, err
			}
			return nil, &sheetError{name, strings.TrimPrefix(err.Error(), name+" ")}
		}
	}
	return out, nil
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
