package main

import (
	"math"
	"slices"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func predictVerb() *verb {
	var o predictOptions
	return &verb{
		name: "predict", args: "LOG [STATE...]", brief: "the frequency of a configuration not measured", least: 1, most: -1,
		about: `
A state is added=3.3pF core=rod covered=60% hand=20cm, or bare; / between two.
With a coil sheet, "ball diameter=30mm" or beads=20 change the drawing.`,
		words: []string{"added=", "core=", "covered=", "hand=", "bare"},
		details: `
What isn't named in a state is as in the bare coil. With --reach, fitcoil finds
the setting of --by (added, covered or hand) that brings the state to the
frequency.

A change of the drawing is carried over to the fitted values; --sweep does so
over a range.`,
		example: []string{
			"fitcoil predict testdata/lighthouse.csv added=3.3pF core=rod / hand=12cm",
			"fitcoil predict testdata/lighthouse.csv --reach 1.5MHz --by added",
		},
		flags: func(c *call) {
			c.flags.Var(once(&o.states), "states", "CSV `file` of states; it has the columns of a log but the frequency; - is standard input")
			c.flags.Var(once(&o.reach), "reach", "`frequency` to reach, such as 1.5MHz; lists every way unless --by names one")
			c.flags.Var(oneOf(&o.by, "added", "covered", "hand"), "by", "what to `change` to reach it: added, covered or hand")
			c.flags.Var(once(&o.have), "have", "`parts` at hand, as 3.3pF,6.8pF; with --reach, beside those of the log")
			c.flags.Var(once(&o.sweep), "sweep", "`change` over a range, \"bead spacing=1mm..4mm\"; of the drawing, so it needs --coil")
			logFlags(c)
			earlierFlags(c)
			voltageFlag(c)
			plotFlags(c)
			outputFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error { return c.predict(o) },
	}
}

// predictOptions are the flags of predict alone.
type predictOptions struct {
	states, reach, by, sweep, have string
}

// check refuses what doesn't go together.
func (o predictOptions) check(changes []string) error {
	switch {
	case o.reach == "" && o.by != "":
		return usagef("--by needs --reach, as --reach 1.5MHz --by added")
	case o.have != "" && (o.reach == "" || o.by != ""):
		return usagef("--have needs --reach without --by, as --reach 1.5MHz --have 3.3pF,6.8pF")
	case o.reach != "" && o.sweep != "":
		return usagef("--reach and --sweep are two questions; ask one at a time")
	case (o.reach != "" || o.sweep != "") && len(changes) > 0:
		return usagef("%q: --reach and --sweep ask of the coil as it is; leave changes of its drawing out", changes[0])
	}
	return nil
}

func (c *call) predict(o predictOptions) error {
	words, changes := splitChanges(benchlog.Joined(c.args[1:]))
	if err := o.check(changes); err != nil {
		return err
	}
	in, err := c.readLog(c.args[0])
	if err != nil {
		return err
	}
	s := in.log.States()
	list, err := c.states(s, words, o.states)
	if err != nil {
		return err
	}
	in.src.Warnings = append(in.src.Warnings, s.Notices()...)
	if err := in.allUsed(s.Parts()); err != nil {
		return err
	}
	r, err := c.fit(in)
	if err != nil {
		return err
	}
	switch {
	case o.reach != "":
		return c.reach(r, in, s, list, o)
	case o.sweep != "":
		return c.sweep(r, in, s, list, o.sweep)
	}
	volts, err := c.topVoltage(in.sheet)
	switch {
	case err != nil:
		return err
	case c.opt.volts != "" && in.Drawn == nil:
		return usagef("--top-voltage needs --coil with a sheet that gives turns, winding diameter and winding length: voltages stand between turns")
	}
	p := report.Predictions{Parts: s.Parts()}
	if len(changes) > 0 {
		if p, err = c.rebuilt(r, in, s, list, changes); err != nil {
			return err
		}
	} else {
		p.List = decisions.PredictAll(r.Result, list, s.Parts())
	}
	p.Volts = volts
	if c.opt.plots != "" {
		if err := c.draw([]figure.Figure{figure.Predictions(r, p.List, p.Parts)}); err != nil {
			return err
		}
	}
	switch {
	case c.opt.json:
		return report.PredictJSON(c.out, r, p, in.src)
	case c.opt.csv:
		return report.PredictCSV(c.out, p)
	}
	var plan decisions.Planned
	if len(list) == 1 && len(changes) == 0 {
		plan = c.plan(r, in, decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: list[0]}, s.Parts()[len(r.Parts()):]...)
	}
	return report.PredictText(c.out, r, p, plan, in.src, c.view())
}

// states reads the states of the command line and of the file named.
func (c *call) states(s *benchlog.States, words []string, file string) (list []readings.State, err error) {
	for len(words) > 0 {
		n := slices.Index(words, "/")
		if n < 0 {
			n = len(words)
		}
		if n == 0 || n == len(words)-1 {
			return nil, usagef("a state beside a / is empty; write bare for the bare coil")
		}
		var one []string
		for _, w := range words[:n] {
			one = append(one, benchlog.Words(w)...)
		}
		words = words[min(n+1, len(words)):]
		state, err := s.Parse(one)
		if err != nil {
			return nil, err
		}
		list = append(list, state)
	}
	if file != "" {
		f, err := c.open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		more, err := s.Read(f, shown(file))
		if err != nil {
			return nil, readFault(file, err)
		}
		list = append(list, more...)
	}
	c.noteRead(s.Notices(), s.Notices())
	if len(list) == 0 {
		list = append(list, readings.Bare())
	}
	return list, nil
}

// reach answers which setting gives the frequency wanted: of one control, or of each.
func (c *call) reach(r *model.Result, in input, s *benchlog.States, list []readings.State, o predictOptions) error {
	switch {
	case len(list) != 1:
		return usagef("--reach takes one state to start from, not %d", len(list))
	case c.opt.plots != "":
		return usagef("--reach draws no figure; leave --plots out")
	}
	hertz, err := positive("reach", o.reach, quantity.Frequency, math.MaxFloat64, "a frequency above zero, as 1.5MHz")
	if err != nil {
		return err
	}
	if o.by == "" {
		return c.everyWay(r, in, s, list[0], hertz, o.have)
	}
	control := map[string]decisions.Control{"added": decisions.ByAdded, "covered": decisions.ByCovered, "hand": decisions.ByHand}[o.by]
	if control == decisions.ByCovered && list[0].Core == "" {
		return usagef("--by covered needs the core to slide in, as core=rod")
	}
	answer := decisions.Reach(r.Result, hertz, list[0], s.Parts()[len(r.Parts()):], control, in.opt.StandardUncertainty())
	switch {
	case c.opt.json:
		return report.ReachJSON(c.out, r, answer, s.Parts(), in.src)
	case c.opt.csv:
		return report.ReachCSV(c.out, answer, s.Parts())
	}
	return report.ReachText(c.out, r, answer, s.Parts(), in.src, c.view())
}
