package main

import (
	"slices"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/earlier"
	"fitcoil/model/estimation"
)

// earlierFlags adds the flags on earlier sessions of the coil.
func earlierFlags(c *call) {
	f, o := c.flags, &c.opt
	f.StringArrayVar(&o.earlier, "known-from", nil, "JSON `file` of an earlier fit of this coil; what was read then counts too, parts are shared by name; may be given again")
	f.BoolVar(&o.newBench, "new-bench", false, "with --known-from: the coil stands elsewhere now, so that its stray capacitance may differ")
}

// follow has in follow the sessions of --known-from.
func (c *call) follow(in *input) error {
	if c.opt.newBench && c.opt.earlier == nil {
		return c.verb.usage("--new-bench needs --known-from: it says of an earlier session that it was elsewhere")
	}
	seen := map[string]string{in.log.SHA256: shown(in.src.Log)}
	benches := 0
	for _, name := range c.opt.earlier {
		list, err := c.readEarlier(name, in)
		if err != nil {
			return err
		}
		before := benches
		for _, e := range list {
			if other, twice := seen[e.SHA256]; twice {
				return misplaced(cells.Fault{File: shown(name), Problem: "the readings of " + e.Log + " count already, by " + other + " (the same SHA-256, " + e.SHA256[:min(8, len(e.SHA256))] + "…)",
					Do: "give each log once; the JSON of a session that followed others has theirs"})
			}
			seen[e.SHA256] = shown(name)
			if c.opt.newBench {
				e.Bench++
			}
			if e.Bench > 0 { // those of different files may have been anywhere
				e.Bench += before
			}
			benches = max(benches, e.Bench)
			in.adopt(&e)
		}
	}
	return nil
}

// readEarlier reads one file of --known-from, and notes it among the inputs.
func (c *call) readEarlier(name string, in *input) ([]estimation.Earlier, error) {
	list, file, err := readHashed(c, name, earlier.Read)
	in.src.Files = append(in.src.Files, file)
	return list, err
}

// adopt has in follow e, by the names that its log has for cores and parts.
func (in *input) adopt(e *estimation.Earlier) {
	var called []*string
	for i := range e.States {
		called = append(called, &e.States[i].Core)
	}
	for i := range e.Known {
		called = append(called, &e.Known[i].Core)
	}
	var cores []string
	for _, core := range called {
		if *core != "" && !slices.Contains(cores, *core) {
			cores = append(cores, *core)
		}
	}
	parts, named := in.log.Adopt(e.Parts, cores)
	for i := range e.Parts {
		e.Parts[i].Name = parts[i]
	}
	for _, core := range called {
		if *core != "" {
			*core = named[slices.Index(cores, *core)]
		}
	}
	in.Session.Log = in.log.Log
	in.Session.Follow(*e)
}
