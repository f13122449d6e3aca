package main

import (
	"fmt"
	"io"
	"os"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

// options holds the flags that several verbs share.
type options struct {
	tolerance string
	known     []string
	lumped    bool
	robust    bool
	json      bool
	plots     string
	format    string
	force     bool
	quiet     bool
}

// logFlags adds the flags on how to read and fit a log.
func logFlags(c *call) {
	f, o := c.flags, &c.opt
	f.VarP(once(&o.tolerance), "tolerance", "", "`tolerance` of parts for which the log states none (default 5%)")
	f.StringArrayVar(&o.known, "known", nil, "known `value`, as inductance=770uH±2%, core_gain:rod=1.6±0.1 or spike=2.2pF±5%; repeatable")
	f.BoolVar(&o.lumped, "lumped", false, "force the lumped circuit instead of the line")
	f.BoolVar(&o.robust, "robust", false, "let a misread value pull less (Huber weights)")
}

// outputFlags adds the flags on what to print.
func outputFlags(c *call) {
	f, o := c.flags, &c.opt
	f.BoolVar(&o.json, "json", false, "print JSON, SI units throughout")
	f.BoolVar(&o.quiet, "quiet", false, "no notices on standard error")
}

// plotFlags adds the flags on figures.
func plotFlags(c *call) {
	f, o := c.flags, &c.opt
	f.Var(once(&o.plots), "plots", "`folder` to draw figures into")
	f.Var(once(&o.format), "format", "figure `format`: svg, png or pdf (default svg and png)")
	f.BoolVar(&o.force, "force", false, "overwrite figures that exist")
}

// single is a flag that may be given once.
type single struct {
	to  *string
	set bool
}

func once(to *string) *single { return &single{to: to} }

func (s *single) String() string { return "" }
func (s *single) Type() string   { return "text" }
func (s *single) Set(text string) error {
	if s.set {
		return fmt.Errorf("given twice, the first time as %q", *s.to)
	}
	*s.to, s.set = text, true
	return nil
}

// open returns the named input; "-" is standard input.
func (c *call) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(c.in), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, &unreadableError{err}
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, &unreadableError{fmt.Errorf("%s: it is a folder; name the log in it", name)}
	}
	return f, nil
}

// input is a log that was read, and the session that the flags ask for.
type input struct {
	model.Session
	log *benchlog.Log
	src report.Source
}

// readLog reads the log named by an argument and tells its notices.
func (c *call) readLog(name string) (input, error) {
	opt, known, err := c.logOptions()
	if err != nil {
		return input{}, err
	}
	f, err := c.open(name)
	if err != nil {
		return input{}, err
	}
	defer f.Close()
	log, err := benchlog.Read(f, shown(name), opt)
	if err != nil {
		return input{}, readFault(err)
	}
	c.note(log.Notices)
	return input{
		Session: model.Session{Log: log.Log, Known: known, Lumped: c.opt.lumped, Robust: c.opt.robust},
		log:     log,
		src:     report.Source{Log: name, SHA256: log.SHA256},
	}, nil
}

// note tells notices, unless they are not wanted.
func (c *call) note(notices []string) {
	if !c.opt.quiet {
		for _, n := range notices {
			fmt.Fprintf(c.err, "fitcoil: note: %s\n", n)
		}
	}
}

// shown is what messages call an input.
func shown(name string) string {
	if name == "-" {
		return "standard input"
	}
	return name
}

// logOptions turns flags into what the reader and the fit are told.
func (c *call) logOptions() (opt benchlog.Options, values []model.Known, err error) {
	opt.Parts = map[string]benchlog.PartValue{}
	if c.opt.tolerance != "" {
		q, err := quantity.Form{Dimension: quantity.Fraction}.Parse(c.opt.tolerance)
		if err != nil || q.Value < 0 {
			return opt, nil, usagef("--tolerance: read %q, expected a percentage, as 5%%", c.opt.tolerance)
		}
		opt.Tolerance, opt.Exact = q.Value, q.Value == 0
	}
	for _, text := range c.opt.known {
		v, err := known.Parse(text)
		switch {
		case err != nil:
			return opt, nil, usagef("--known: %v", err)
		case v.Part != "":
			opt.Parts[v.Part] = benchlog.PartValue{Capacitance: v.Capacitance, Uncertainty: v.Uncertainty}
		default:
			values = append(values, v.Quantity)
		}
	}
	return opt, values, nil
}
