package main

import (
	"slices"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// sessions fits several logs of one coil, and tells what they say together.
func (c *call) sessions() error {
	in, err := c.readLogs()
	if err != nil {
		return err
	}
	var sources []report.Source
	var fits []*model.Result
	var results []*estimation.Result
	seen := map[string]string{}
	for i := range in {
		src := in[i].src
		if other, twice := seen[src.SHA256]; twice {
			return misplaced(cells.Fault{File: src.Log, Problem: "the same readings as " + other + " (the same SHA-256, " + src.SHA256[:8] + "…)", Do: "give each log once: read twice they would count twice"})
		}
		seen[src.SHA256] = src.Log
		sources = append(sources, src)
	}
	for i := range in {
		r, err := c.fit(in[i])
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
		return report.ConsensusCSV(c.out, fits, list, sources)
	}
	return report.ConsensusText(c.out, fits, list, sources, c.view())
}

// readLogs reads all logs named by arguments, of one coil: what bears the same name in several is
// called as in the first of them.
func (c *call) readLogs() (in []input, err error) {
	var all []readings.Part
	var parts, cores []string
	for _, name := range c.args {
		i, err := c.readLog(name)
		if err != nil {
			return nil, err
		}
		log := &i.Session.Log
		for k := range log.Parts {
			parts = called(&log.Parts[k].Name, parts, benchlog.SamePart)
		}
		for k := range log.Readings {
			cores = called(&log.Readings[k].Core, cores, benchlog.SameName)
		}
		for k := range i.Known {
			cores = called(&i.Known[k].Core, cores, benchlog.SameName)
		}
		in, all = append(in, i), slices.Concat(all, log.Parts)
	}
	return in, in[0].allUsed(all)
}

// called spells name as one of names that is the same, or adds it to them.
func called(name *string, names []string, same func(a, b string) bool) []string {
	i := slices.IndexFunc(names, func(o string) bool { return same(o, *name) })
	if i < 0 {
		return append(names, *name)
	}
	*name = names[i]
	return names
}
