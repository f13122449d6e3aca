package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"fitcoil/ioformat/suggest"
)

// verb is one thing that fitcoil does.
type verb struct {
	name    string
	args    string // after the name, in the usage line
	brief   string // one line
	about   string // a paragraph for --help
	details string // further paragraphs for the manual page
	example []string
	words   []string // that arguments may begin with, beside the names of files
	least   int      // number of arguments
	most    int      // −1: any
	hidden  bool     // from the overview
	do      func(c *call) error
	flags   func(c *call)
}

// call is one run of a verb.
type call struct {
	streams
	verb  *verb
	flags *pflag.FlagSet
	args  []string
	opt   options
	read  []string // inputs opened so far

	unsaid []string // notices that the answer will have
}

func verbs() []*verb {
	return []*verb{fitVerb(), predictVerb(), nextVerb(), budgetVerb(), compareVerb(), checkVerb(), logVerb(), coilVerb(), captureVerb(),
		reportVerb(), completionVerb(), completeVerb(), manVerb(), versionVerb()}
}

// newCall returns a call of v with its flags still to be parsed.
func (v *verb) newCall(s streams) *call {
	c := &call{streams: s, verb: v, flags: pflag.NewFlagSet(v.name, pflag.ContinueOnError)}
	c.flags.SetOutput(io.Discard)
	c.flags.SortFlags = false
	c.flags.Usage = func() {}
	if v.flags != nil {
		v.flags(c)
	}
	return c
}

// run parses the arguments of v and does it.
func (v *verb) run(args []string, s streams) error {
	c := v.newCall(s)
	err := c.flags.Parse(args)
	tests := func(a string) bool { return strings.HasPrefix(a, "-test.") } // flags that the parser leaves to Go's test programs
	switch flags := beforeDashes(args); {
	case wantsHelp(args), errors.Is(err, pflag.ErrHelp):
		_, err := io.WriteString(s.out, v.manual())
		return err
	case err != nil:
		return v.badFlag(c.flags, err)
	case slices.ContainsFunc(flags, tests):
		return v.usage(fmt.Sprintf("%s has no flag %s", v.name, flags[slices.IndexFunc(flags, tests)]))
	}
	c.args = c.flags.Args()
	switch n := len(c.args); {
	case n < v.least:
		return v.usage(fmt.Sprintf("%s needs %s", v.name, v.args))
	case v.most == 0 && n > 0:
		return v.usage(fmt.Sprintf("%s takes no argument, but there is %q", v.name, c.args[0]))
	case v.most >= 0 && n > v.most:
		return v.usage(fmt.Sprintf("%s takes %s, but there is also %q", v.name, v.args, c.args[v.most]))
	case slices.Contains(c.args, ""):
		return v.usage("an argument is empty; is the name of a file missing?")
	case c.opt.json && c.opt.csv:
		return v.usage("--json and --csv are two forms of one output; give one")
	case c.opt.plots == "-":
		return v.usage("--plots needs a folder; figures don't go to standard output")
	case c.opt.plots == "" && c.opt.format != "":
		return v.usage("--format needs --plots, the folder to draw into")
	}
	err = v.do(c)
	if err != nil {
		c.note(c.unsaid)
	}
	return err
}

// wantsHelp tells whether there is a -h or --help before any --.
func wantsHelp(args []string) bool {
	return slices.ContainsFunc(beforeDashes(args), func(a string) bool { return a == "-h" || a == "--help" })
}

// beforeDashes are the arguments before any --, behind which none is a flag.
func beforeDashes(args []string) []string {
	if i := slices.Index(args, "--"); i >= 0 {
		return args[:i]
	}
	return args
}

func unknownVerb(name string) error {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	switch _, err := os.Stat(name); {
	case strings.HasPrefix(name, "-"):
		return usagef("read %q, expected a command; flags come after it, as in fitcoil fit LOG --json", name)
	case err == nil:
		return usagef("there is no command %q, did you mean fitcoil fit %s? see fitcoil --help", name, shown(name))
	}
	if near := meant(name, names, "fitcoil "); near != "" {
		return usagef("there is no command %q%s see fitcoil --help", name, near)
	}
	return usagef("there is no command %q; see fitcoil --help", name)
}

// meant returns ", did you mean …?" for the name nearest to what was typed.
func meant(typed string, names []string, prefix string) string {
	if name, ok := suggest.Nearest(typed, names); ok {
		return ", did you mean " + prefix + name + "?"
	}
	return ""
}
