package main

import (
	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func fitVerb() *verb {
	var more asked
	return &verb{
		name: "fit", args: "LOG...", brief: "what the coil is, from the readings of a log", least: 1, most: -1,
		about: `
Reads a bench log (CSV: frequencies and the state of the coil at each) and
prints inductance and capacitance, the effect of each core, of a hand and of
unknown parts, each with its uncertainty, what limits them and what to do next.`,
		details: `
The first lines say whether the readings are consistent with the model; what
makes the numbers doubtful stands before them. With --full come 95 %
intervals, the sources of each variance, the residual of each reading, and the
priors.`,
		example: []string{
			"fitcoil fit testdata/lighthouse.csv",
			"fitcoil fit testdata/lighthouse.csv --known inductance=1.27mH±1% --full",
		},
		flags: func(c *call) {
			logFlags(c)
			earlierFlags(c)
			plotFlags(c)
			outputFlags(c)
			csvFlag(c)
			askFlags(c, &more)
		},
		do: func(c *call) error {
			if len(c.args) > 1 {
				if c.opt.plots != "" || more.trials > 0 || more.profile || c.opt.earlier != nil {
					return c.verb.usage("--plots, --profile, --monte-carlo and --known-from are for one log")
				}
				return c.sessions()
			}
			in, r, err := c.fitted(c.args[0])
			if err != nil {
				return err
			}
			extra, err := c.extra(r, more, c.opt.plots != "", c.view().Full || c.opt.json || c.opt.csv) // the answer in brief has no interval
			if err != nil {
				return err
			}
			if c.opt.plots != "" {
				if err := c.draw(figures(r, extra)); err != nil {
					return err
				}
			}
			switch {
			case c.opt.csv:
				return report.FitCSV(c.out, r, extra)
			case c.opt.json:
				return report.FitJSON(c.out, r, extra, in.src)
			}
			err = report.FitText(c.out, r, c.plan(r, in, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}), r.Parts(), in.src, c.view())
			if err != nil {
				return err
			}
			return report.ExtraText(c.out, extra, c.view())
		},
	}
}

// figures are those of a fit, with that of what it is asked for besides.
func figures(r *model.Result, extra report.Extra) []figure.Figure {
	list := figure.Set(r)
	for _, f := range []*figure.Figure{figure.Coupling(r), figure.Losses(r)} {
		if f != nil {
			list = append(list, *f)
		}
	}
	if extra.Surface != nil {
		list = append(list, figure.Profiles(r, *extra.Surface, extra.Profiles))
	}
	return list
}
