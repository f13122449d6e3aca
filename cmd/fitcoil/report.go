package main

import (
	"bytes"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/page"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/starter"
)

func reportVerb() *verb {
	var output string
	var more asked
	return &verb{
		name: "report", args: "LOG -o PAGE", brief: "one page of HTML to read, try and print", least: 1, most: 1,
		about: `
Writes one page that needs nothing else: the answer, sliders to try a change,
all quantities, figures with their numbers, what is not determined, what to
read next, the method, and how to reproduce the report. Coupling, losses and
voltage have blocks of their own where log and sheet tell of them. With --csv
the file is the table of all quantities, as of fit.`,
		example: []string{
			"fitcoil report testdata/lighthouse.csv -o lighthouse.html",
			"fitcoil report testdata/rebuilt.csv -o - > rebuilt.html",
		},
		flags: func(c *call) {
			c.flags.VarP(once(&output), "output", "o", "`file` to write the page to, - for standard output")
			logFlags(c)
			earlierFlags(c)
			voltageFlag(c)
			askFlags(c, &more)
			csvFlag(c)
			c.flags.BoolVar(&c.opt.force, "force", false, "overwrite the page if it exists")
			c.flags.BoolVar(&c.opt.quiet, "quiet", false, "no notices on standard error")
		},
		do: func(c *call) error {
			if output == "" {
				return c.verb.usage("report needs -o, the file to write, as -o page.html; - is standard output")
			}
			in, r, err := c.fitted(c.args[0])
			if err != nil {
				return err
			}
			volts, err := c.topVoltage(in.sheet)
			if err != nil {
				return err
			}
			extra, err := c.extra(r, more, true, true)
			if err != nil {
				return err
			}
			u := in.opt.StandardUncertainty()
			write := func(w io.Writer) error { return report.FitCSV(w, r, extra) }
			src := page.Source{Source: in.src, Command: c.typed(), Flags: strings.Join(c.given("profile", "monte-carlo", "seed"), " "), Extra: extra, Volts: volts, Version: version(), Comments: starter.Written(in.log.Comments),
				NewPart:  page.NewPart{Tolerance: u / benchlog.BoundToStandard, Uncertainty: u},
				Progress: func(steps int) func() { return c.progress("conditions sampled for the sliders", steps) }}
			if !c.opt.csv {
				write = func(w io.Writer) error { return page.Write(w, r, src) }
			}
			if output == "-" {
				return write(c.out)
			}
			var b bytes.Buffer
			if err := write(&b); err != nil {
				return err
			}
			if err := c.write(output, b.Bytes()); err != nil {
				return err
			}
			c.note([]string{"wrote " + output})
			return nil
		},
	}
}

// typed is the command line that makes the same page, whatever file it goes to.
func (c *call) typed() string {
	words := append([]string{"fitcoil", c.verb.name}, pasted(c.args)...)
	return strings.Join(append(append(words, c.given()...), "-o", "page.html"), " ")
}

// given returns the flags that say how the log is fitted, but those named, ready to be pasted.
func (c *call) given(but ...string) (words []string) {
	c.flags.Visit(func(f *pflag.Flag) {
		name := "--" + f.Name
		switch f.Name {
		case "output", "plots", "format", "force", "quiet", "json", "csv", "full":
			return
		}
		if slices.Contains(but, f.Name) {
			return
		}
		switch v := f.Value.(type) {
		case *single:
			words = append(words, name, *v.given)
		case pflag.SliceValue:
			for _, text := range v.GetSlice() {
				words = append(words, name, text)
			}
		default:
			words = append(words, name)
		}
	})
	return pasted(words)
}

// pasted puts words into quotes where a shell needs them.
func pasted(words []string) []string {
	plain := regexp.MustCompile(`^[-\pL0-9_./:=,%+±]+$`)
	out := slices.Clone(words)
	for i, w := range out {
		if !plain.MatchString(w) {
			out[i] = quoted(w)
		}
	}
	return out
}
