package main

import (
	"slices"

	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// sessions fits several logs of one coil, and tells what they say together.
func (c *call) sessions() error {
	var sources []report.Source
	var in []input
	var fits []*model.Result
	var results []*estimation.Result
	var parts []readings.Part
	for _, name := range c.args {
		i, err := c.readLog(name)
		if err != nil {
			return err
		}
		in, sources, parts = append(in, i), append(sources, i.src), slices.Concat(parts, i.Log.Parts)
	}
	if err := in[0].allUsed(parts); err != nil {
		return err
	}
	for _, i := range in {
		r, err := model.Fit(i.Session)
		if err != nil {
			return err
		}
		fits, results = append(fits, r), append(results, r.Result)
	}
	list := decisions.Agree(results)
	switch {
	case c.opt.json:
		return report.ConsensusJSON(c.out, fits, list, sources)
	case c.opt.csv:
		return report.ConsensusCSV(c.out, list, sources)
	}
	return report.ConsensusText(c.out, fits, list, sources, c.view())
}
