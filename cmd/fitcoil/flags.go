package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
)

// options holds the flags that several verbs share.
type options struct {
	tolerance string
	known     []string
	earlier   []string
	newBench  bool
	coil      string
	lumped    bool
	robust    bool
	json      bool
	full      bool
	csv       bool
	plots     string
	volts     string
	format    string
	force     bool
	quiet     bool
}

// readFlags adds the flags on how to read a log.
func readFlags(c *call) {
	f, o := c.flags, &c.opt
	f.Var(once(&o.tolerance), "tolerance", "`tolerance` of parts for which the log states none (default 5%), and behind it common or own, and rectangular")
	f.StringArrayVar(&o.known, "known", nil, "known `value`, such as inductance=770uH±2%; also core_gain:rod=1.6±0.1, lead=0pF±0.02pF, or a part, roof=2.8pF±5%; may be given again")
}

// logFlags adds the flags on how to read and fit a log.
func logFlags(c *call) {
	readFlags(c)
	f, o := c.flags, &c.opt
	f.Var(once(&o.coil), "coil", "coil sheet, a CSV `file` of what is known of the coil; its drawing replaces the uniform line")
	f.BoolVar(&o.lumped, "lumped", false, "force the lumped model instead of the line")
	f.BoolVar(&o.robust, "robust", false, "give readings far off less weight, or none (MM-estimate)")
}

// outputFlags adds the flags on what to print.
func outputFlags(c *call) {
	f, o := c.flags, &c.opt
	f.BoolVar(&o.full, "full", false, "print everything, not the answer in brief")
	f.BoolVar(&o.json, "json", false, "print JSON, SI units throughout")
	f.BoolVar(&o.quiet, "quiet", false, "no notices on standard error")
}

// csvFlag adds the flag for a table that other programs read.
func csvFlag(c *call) {
	c.flags.BoolVar(&c.opt.csv, "csv", false, "print a table as CSV, SI units throughout")
}

// view is how much of a result is printed, and how wide.
func (c *call) view() report.View { return report.View{Full: c.opt.full, Width: c.width} }

// plotFlags adds the flags on figures.
func plotFlags(c *call) {
	f, o := c.flags, &c.opt
	f.Var(once(&o.plots), "plots", "`folder` to draw figures into; made if missing; figures drawn by fitcoil are replaced")
	f.Var(oneOf(&o.format, chart.Formats()...), "format", "`format` of figures: svg, png or pdf (default svg and png)")
	f.BoolVar(&o.force, "force", false, "overwrite files that fitcoil did not draw")
}

// voltageFlag adds the flag on the voltage at which the coil shall work.
func voltageFlag(c *call) {
	c.flags.Var(once(&c.opt.volts), "top-voltage", "peak `voltage` at the top when the coil works, as 20kV; tells where it stands and which gaps may spark; needs the coil drawn")
}

// topVoltage returns that voltage [V], from the flag or else from the sheet; 0 for none.
func (c *call) topVoltage(sheet *coilsheet.Sheet) (float64, error) {
	if c.opt.volts == "" {
		if sheet == nil {
			return 0, nil
		}
		return sheet.Value("top voltage"), nil
	}
	return positive("top-voltage", c.opt.volts, quantity.Voltage, 1e8, "a voltage above zero, as 20kV")
}

// single is the value of a flag that may be given once.
type single struct {
	set     func(text string) error
	choices []string // all that may be given; nil for anything
	given   *string
}

// once stores text.
func once(to *string) *single {
	return &single{set: func(text string) error {
		*to = text
		return nil
	}}
}

// oneOf stores one of a few words.
func oneOf(to *string, words ...string) *single {
	s := once(to)
	s.choices = words
	return s
}

// whole stores a whole number from least to most, which the flag need not give.
func whole(to *int, preset, least, most int) *single {
	*to = preset
	return &single{set: func(text string) error {
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return fmt.Errorf("read %q, expected a whole number from %d to %d", text, least, most)
		}
		*to = n
		return nil
	}}
}

func (s *single) String() string { return "" }
func (s *single) Type() string   { return "text" }

func (s *single) Set(text string) error {
	switch {
	case s.given != nil:
		return fmt.Errorf("given twice, first as %q; give it once", *s.given)
	case text == "":
		return errors.New("needs a value, but what is given is empty")
	case s.choices != nil && !slices.Contains(s.choices, text):
		return fmt.Errorf("read %q, expected %s%s", text, quantity.Listed(s.choices, "or"), meant(text, s.choices, ""))
	}
	s.given = &text
	return s.set(text)
}

// badFlag puts a fault in the flags into words, with what might have been
// meant.
func (v *verb) badFlag(flags *pflag.FlagSet, err error) error {
	var (
		absent *pflag.NotExistError
		bare   *pflag.ValueRequiredError
		value  *pflag.InvalidValueError
		syntax *pflag.InvalidSyntaxError
	)
	text := err.Error()
	switch {
	case errors.As(err, &absent):
		var names []string
		flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		typed, dashes := absent.GetSpecifiedName(), "--"
		if letters := absent.GetSpecifiedShortnames(); letters != "" {
			typed, dashes = letters, "-"
		}
		text = fmt.Sprintf("%s has no flag %s%s%s", v.name, dashes, typed, meant(typed, names, "--"))
		if slices.Contains(names, typed) { // -json
			text += ", did you mean --" + typed + "?"
		}
	case errors.As(err, &bare):
		name, usage := pflag.UnquoteUsage(bare.GetFlag())
		text = fmt.Sprintf("--%s needs a %s: %s", bare.GetFlag().Name, name, usage)
	case errors.As(err, &value) && value.GetFlag().Value.Type() == "bool":
		text = fmt.Sprintf("--%s: read %q, but it is given alone, without a value", value.GetFlag().Name, value.GetValue())
	case errors.As(err, &value):
		text = fmt.Sprintf("--%s: %v", value.GetFlag().Name, value.Unwrap())
	case errors.As(err, &syntax):
		text = fmt.Sprintf("read %q, expected a flag, as --json, or a file name after --", syntax.GetSpecifiedFlag())
	}
	return v.usage(text)
}

// usage makes a usage error of text, with where to read more.
func (v *verb) usage(text string) error {
	if !strings.HasSuffix(text, "?") {
		text += ";"
	}
	return usagef("%s see fitcoil %s --help", text, v.name)
}
