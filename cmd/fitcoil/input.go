package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// open returns the named input; "-" is standard input.
func (c *call) open(name string) (io.ReadCloser, error) {
	again := slices.Contains(c.read, name)
	c.read = append(c.read, name)
	if name == "-" {
		if again {
			return nil, c.verb.usage("standard input can be read once only; put one of the inputs into a file")
		}
		c.in = &rememberer{Reader: c.in}
		return io.NopCloser(c.in), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, &unreadableError{name, err}
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, &unreadableError{name, errFolder}
	}
	return f, nil
}

// input is a log that was read, and the session that the flags ask for.
type input struct {
	estimation.Session
	log *benchlog.Log
	opt benchlog.Options // the log was read with
	src report.Source

	given benchlog.Options // parts to which --known gives a value
	sheet *coilsheet.Sheet // nil without --coil
}

// readLog reads the log named by an argument and tells its notices.
func (c *call) readLog(name string) (input, error) {
	if name == "-" && c.opt.coil == "-" {
		return input{}, c.verb.usage("standard input can be read once only; put the log or the coil sheet into a file")
	}
	opt, known, err := c.logOptions()
	if err != nil {
		return input{}, err
	}
	given := opt.Parts
	var sheet *coilsheet.Sheet
	var files []report.File
	if c.opt.coil != "" {
		var file report.File
		if sheet, file, err = c.readSheet(c.opt.coil); err != nil {
			return input{}, err
		}
		files = append(files, file)
		opt.Parts = sheet.PartsBeside(given)
	}
	f, err := c.open(name)
	if err != nil {
		return input{}, err
	}
	defer f.Close()
	opt.Digest = sha256.New()
	log, err := benchlog.Read(f, shown(name), opt)
	if err != nil {
		return input{}, c.notALog(name, readFault(name, err))
	}
	if log.IsSweep() {
		return input{}, misplaced(cells.Fault{File: shown(name), Problem: "this looks like a sweep of the drive (amplitudes across one resonance), not like readings of it",
			Do: "find its resonance with: fitcoil capture " + word(name)})
	}
	c.noteRead(log.Notices, log.Warnings)
	for i := range known {
		known[i].Core = log.Core(known[i].Core)
	}
	in := input{
		Session: estimation.Session{Log: log.Log, Known: known, Lumped: c.opt.lumped, Robust: c.opt.robust},
		log:     log,
		opt:     opt,
		src: report.Source{Log: quantity.Visible(name), SHA256: log.SHA256, Warnings: log.Warnings,
			Program: c.program(), Files: append([]report.File{logFile(name, log)}, files...)},
		given: benchlog.Options{Parts: given},
		sheet: sheet,
	}
	if sheet != nil {
		in.src.Warnings = slices.Concat(sheet.Notices, log.Warnings)
		if err = sheet.Tell(&in.Session); err != nil {
			err = &sheetError{c.opt.coil, err.Error()}
		}
		in.src.Warnings = append(in.src.Warnings, in.coveredInPart()...)
	}
	if err == nil {
		err = c.follow(&in)
	}
	return in, err
}

// fitted reads the log named by an argument, and fits it.
func (c *call) fitted(name string) (in input, r *model.Result, err error) {
	if in, err = c.readLog(name); err == nil {
		err = in.allUsed(in.Log.Parts)
	}
	if err == nil {
		r, err = c.fit(in)
	}
	return in, r, err
}

// fit fits a log. A table of numbers has no place for what contradicts them, so that is told beside
// it, wanted or not.
func (c *call) fit(in input) (*model.Result, error) {
	r, err := model.Fit(in.Session)
	if err != nil || !c.opt.csv {
		return r, err
	}
	for _, f := range r.Findings {
		if f.Undermines() {
			fmt.Fprintf(c.err, "fitcoil: contradiction in %s: %s\n", in.src.Log, quantity.Visible(report.Sentence(f)))
		}
	}
	return r, nil
}

// allUsed refuses values that --known gives for parts which are nowhere on the
// top, neither in the log nor in a state asked for.
func (in *input) allUsed(parts []readings.Part) error {
	unused := in.given.Unused(parts)
	if len(unused) == 0 {
		return nil
	}
	names := readings.Names(parts)
	near := meant(unused[0], append(names, known.Names()...), "")
	if near == "" && len(names) > 0 {
		near = "; the parts are " + strings.Join(names, ", ")
	}
	return usagef("--known %s: neither a quantity nor a part on the top has this name%s", unused[0], near)
}

// note tells notices, unless they are not wanted.
func (c *call) note(notices []string) {
	if !c.opt.quiet {
		for _, n := range notices {
			fmt.Fprintf(c.err, "fitcoil: note: %s\n", quantity.Visible(n))
		}
	}
}

// noteRead tells notices on how an input was read. Those that the answer has among its
// warnings aren't said beside it too, unless there is no answer for people after all.
func (c *call) noteRead(notices, warnings []string) {
	if c.opt.json || c.verb.name == "report" || c.verb.name == "log" {
		c.note(notices)
		return
	}
	for _, n := range notices {
		if slices.Contains(warnings, n) {
			c.unsaid = append(c.unsaid, n)
		} else {
			c.note([]string{n})
		}
	}
}

// shown is what messages call an input.
func shown(name string) string {
	if name == "-" {
		return "standard input"
	}
	return quantity.Visible(name)
}

// logOptions turns flags into what the reader and the fit are told.
func (c *call) logOptions() (opt benchlog.Options, values []quantities.Known, err error) {
	opt.Parts = map[string]benchlog.PartValue{}
	opt.Robust = c.opt.robust
	if c.opt.tolerance != "" {
		text, share := benchlog.CutShare(c.opt.tolerance)
		opt.Share = share
		q, err := quantity.Form{Dimension: quantity.Fraction}.Parse(text)
		if err == nil && (q.Value < 0 || q.Value >= 1) {
			err = &quantity.Error{Read: c.opt.tolerance, Expected: "a percentage from 0 to below 100, as 5%, and behind it the words common or own, and rectangular, where that is meant"}
		}
		if err != nil {
			return opt, nil, usagef("--tolerance: %v", err)
		}
		opt.Tolerance, opt.Exact = q.Value, q.Value == 0
	}
	given := map[string]bool{}
	for _, text := range c.opt.known {
		v, err := known.Parse(text)
		switch {
		case err != nil:
			return opt, nil, usagef("--known: %v", err)
		case v.Part != "" && given[benchlog.PartKey(v.Part)]:
			return opt, nil, usagef("--known %s: given twice; give one value for a part", v.Part)
		case v.Part != "":
			given[benchlog.PartKey(v.Part)] = true
			opt.Parts[v.Part] = benchlog.PartValue{Capacitance: v.Value, Uncertainty: v.Uncertainty}
		default:
			values = append(values, v)
		}
	}
	return opt, values, nil
}

// program tells what made a result.
func (c *call) program() *report.Program {
	p := &report.Program{Version: version(), Options: c.given()}
	for _, s := range buildInfo().Settings {
		if s.Key == "vcs.revision" {
			p.Revision = s.Value
		}
	}
	return p
}

// fileOf describes an input of that hash.
func fileOf(name, hash string) report.File {
	f := report.File{Name: quantity.Visible(name), SHA256: hash}
	if info, err := os.Stat(name); err == nil && name != "-" {
		f.Modified = info.ModTime()
	}
	return f
}

// logFile describes a log, with the day that it states.
func logFile(name string, log *benchlog.Log) report.File {
	f := fileOf(name, log.SHA256)
	f.Dated = log.Date()
	return f
}

// readHashed reads an input, and describes it with the hash of all that it holds.
func readHashed[T any](c *call, name string, read func(io.Reader, string) (T, error)) (content T, file report.File, err error) {
	f, err := c.open(name)
	if err != nil {
		return content, file, err
	}
	defer f.Close()
	sum := sha256.New()
	all := io.TeeReader(f, sum)
	if content, err = read(all, shown(name)); err != nil {
		return content, file, readFault(name, err)
	}
	io.Copy(io.Discard, all) // what can't be read isn't hashed
	return content, fileOf(name, hex.EncodeToString(sum.Sum(nil))), nil
}
