package main

import (
	"math"
	"runtime"

	"fitcoil/fit"
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

// asked is what a fit may be asked for besides.
type asked struct {
	trials, seed int
	profile      bool
}

// askFlags adds the flags for it.
func askFlags(c *call, a *asked) {
	c.flags.Var(whole(&a.trials, 0, 1000, 1_000_000), "monte-carlo", "compare with at most this `number` of random trials; JCGM 101")
	c.flags.BoolVar(&a.profile, "profile", false, "compare with 95 % intervals by profile likelihood")
	c.flags.Var(whole(&a.seed, 1, 0, math.MaxInt32), "seed", "`number` that random trials begin with (default 1)")
}

// mostDrawn is the number of quantities whose profiles a figure has room for.
const mostDrawn = 6

// extra works it out, with the profiles of single quantities and pairs if those are drawn; and if
// intervals are told, it makes those by profile likelihood where the linear ones would be wrong.
func (c *call) extra(r *model.Result, a asked, drawn, told bool) (e report.Extra, err error) {
	if a.profile {
		var ok bool
		if e.Profiles, ok = r.Profiles(c.steps("profiles")); !ok {
			return e, usagef("--profile: this log has too many unknowns; use --monte-carlo")
		}
		if drawn {
			s := r.Surface(r.Principal(mostDrawn), c.steps("regions"))
			e.Surface = &s
		}
	}
	list := e.Profiles
	if told && !a.profile {
		for _, curved := range r.Curved() {
			list = append(list, r.ProfileOf(curved))
		}
	}
	for i := range list {
		list[i].Quote()
	}
	if a.trials > 0 {
		e.MonteCarlo = r.MonteCarlo(fit.Trials{Most: a.trials, Seed: uint64(a.seed), Workers: runtime.GOMAXPROCS(0), Done: c.progressTo("trials at most", a.trials)})
	}
	return e, nil
}

// steps returns what to call after each of n steps, which tells a terminal of them.
func (c *call) steps(what string) func(i, n int) {
	var tell func(int)
	return func(i, n int) {
		if c.terminal && tell == nil {
			tell = c.progressTo(what, n)
		}
		if tell != nil {
			tell(i)
		}
	}
}
