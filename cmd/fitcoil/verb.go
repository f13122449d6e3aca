package main

import (
	"errors"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"fitcoil/ioformat/suggest"
)

// verb is one thing that fitcoil does.
type verb struct {
	name    string
	args    string // after the name, in the usage line
	brief   string // one line
	about   string // paragraphs for --help
	example []string
	least   int // number of arguments
	most    int // −1: any
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
}

func verbs() []*verb {
	return []*verb{fitVerb(), predictVerb(), nextVerb(), compareVerb(), checkVerb(), versionVerb()}
}

// run parses the arguments of v and does it.
func (v *verb) run(args []string, s streams) error {
	c := &call{streams: s, verb: v, flags: pflag.NewFlagSet(v.name, pflag.ContinueOnError)}
	c.flags.SetOutput(io.Discard)
	c.flags.SortFlags = false
	c.flags.Usage = func() {}
	if v.flags != nil {
		v.flags(c)
	}
	if err := c.flags.Parse(args); errors.Is(err, pflag.ErrHelp) {
		_, err := io.WriteString(s.out, v.manual(c))
		return err
	} else if err != nil {
		return v.badFlag(c, args, err)
	}
	c.args = c.flags.Args()
	switch n := len(c.args); {
	case n < v.least:
		return usagef("%s needs %s; see fitcoil %s --help", v.name, v.args, v.name)
	case v.most >= 0 && n > v.most:
		return usagef("%s takes %s, but there is also %q; see fitcoil %s --help", v.name, v.args, c.args[v.most], v.name)
	}
	return v.do(c)
}

// badFlag puts a fault in the flags into words, with what might have been
// meant.
func (v *verb) badFlag(c *call, args []string, err error) error {
	var missing *pflag.NotExistError
	if !errors.As(err, &missing) {
		return usagef("%v; see fitcoil %s --help", err, v.name)
	}
	var names []string
	c.flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	typed := missing.GetSpecifiedName()
	return usagef("%s has no flag --%s%s; see fitcoil %s --help", v.name, typed, meant(typed, names, "--"), v.name)
}

func unknownVerb(name string) error {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	if strings.HasPrefix(name, "-") {
		return usagef("the flag %s comes after a command; see fitcoil --help", name)
	}
	return usagef("there is no command %q%s; see fitcoil --help", name, meant(name, names, ""))
}

// meant returns ", did you mean …?" for the name nearest to what was typed.
func meant(typed string, names []string, prefix string) string {
	if name, ok := suggest.Nearest(typed, names); ok {
		return ", did you mean " + prefix + name + "?"
	}
	return ""
}
