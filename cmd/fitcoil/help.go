package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"fitcoil/ioformat/report"
)

const cautions = `Safety: these coils make high voltage. It burns through air, keeps its charge,
makes ozone and ultraviolet light, disturbs radio and can start fires. Take
readings at low power with a pickup probe held away from the coil, never by
touching. Local codes and licensed practice come before anything printed here.
`

const title = "fitcoil: from a page of resonance frequencies to what the coil is"

// overview is what fitcoil prints when nothing is asked.
func overview() string {
	var b strings.Builder
	b.WriteString(title + "\n\n")
	width := 0
	for _, v := range verbs() {
		if !v.hidden {
			width = max(width, len(v.line()))
		}
	}
	for _, v := range verbs() {
		if !v.hidden {
			fmt.Fprintf(&b, "  %-*s  %s\n", width, v.line(), v.brief)
		}
	}
	b.WriteString("\nExamples:\n  fitcoil fit testdata/lighthouse.csv\n  fitcoil predict testdata/lighthouse.csv added=3.3pF core=rod\n")
	b.WriteString("\nMore: fitcoil COMMAND --help, fitcoil man. \"-\" is standard input.\n\n")
	b.WriteString(cautions)
	return b.String()
}

// line is the command line of v without its flags and the name of the program.
func (v *verb) line() string { return strings.TrimSpace(v.name + " " + v.args) }

// synopsis is the command line of v without its flags.
func (v *verb) synopsis() string { return "fitcoil " + v.line() }

// usageLine is the command line of v.
func (v *verb) usageLine() string {
	if len(v.flagTable()) == 0 {
		return v.synopsis()
	}
	return v.synopsis() + " [flags]"
}

// help answers fitcoil help COMMAND, and -h before a command.
func help(args []string, s streams) error {
	for _, a := range args {
		if strings.HasPrefix(a, "-") {
			continue
		}
		for _, v := range verbs() {
			if v.name == a {
				return v.run([]string{"--help"}, s)
			}
		}
		return unknownVerb(a)
	}
	_, err := io.WriteString(s.out, overview())
	return err
}

const exitText = `Exit codes: 0 answered, 1 internal fault, 2 usage, 3 bad data, 4 input
unreadable, 5 output unwritable, 6 the readings can't answer, 130 interrupted.
`

// ending is the last line of --help.
const ending = "Exit codes and safety: fitcoil man. High voltage burns; probe from afar.\n"

// rare are flags that --help names only.
var rare = []string{"new-bench", "top-voltage", "sweep", "csv", "seed", "tolerance", "lumped", "robust", "format", "force", "quiet"}

// manual is the text of --help.
func (v *verb) manual() string {
	var b strings.Builder
	var common []flagRow
	var others []string
	for _, f := range v.flagTable() {
		if slices.Contains(rare, f.Name) || f.Name == "known-from" && v.name != "fit" { // fit is what it goes on from
			others = append(others, "--"+f.Name)
		} else {
			common = append(common, f)
		}
	}
	fmt.Fprintf(&b, "fitcoil %s: %s\n\nUsage: %s\n", v.name, v.brief, v.usageLine())
	if v.about != "" {
		b.WriteString("\n" + strings.TrimSpace(v.about) + "\n")
	}
	if len(common) > 0 {
		b.WriteString("\nFlags:\n" + flagHelp(common))
	}
	if len(others) > 0 {
		b.WriteString("  " + strings.Join(report.Wrap("and "+strings.Join(others, " "), 77), "\n  ") + "\n")
	}
	if len(v.example) > 0 {
		b.WriteString("\nExamples:\n")
		for _, e := range v.example {
			b.WriteString("  " + e + "\n")
		}
	}
	b.WriteString("\n" + ending)
	return b.String()
}

// flagHelp lists flags, the first clause of their text wrapped to 79 characters.
func flagHelp(flags []flagRow) string {
	width := 0
	for _, f := range flags {
		width = max(width, len(f.Usage()))
	}
	var b strings.Builder
	for _, f := range flags {
		indent := "  " + strings.Repeat(" ", width+2)
		text, _, _ := strings.Cut(f.Text, "; ")
		lines := report.Wrap(text, 79-len(indent))
		fmt.Fprintf(&b, "  %-*s  %s\n", width, f.Usage(), strings.Join(lines, "\n"+indent))
	}
	return b.String()
}

// flagRow is a flag as help, man page and completion show it.
type flagRow struct {
	Name    string
	Short   string // letter after a single dash; mostly ""
	Value   string // what it needs, in a word; "" for a switch
	Text    string
	Choices []string // all values there are; nil when there is no end of them
	Several bool     // may be given again
}

// Usage is the flag with its value.
func (f flagRow) Usage() string {
	text := "--" + f.Name
	if f.Short != "" {
		text = "-" + f.Short + ", " + text
	}
	if f.Value != "" {
		text += " " + f.Value
	}
	return text
}

// Kind tells what the value of f is, for a shell to complete: "goal", "choice", "folder", "file" or
// other "text"; "" for a switch.
func (f flagRow) Kind() string {
	switch {
	case f.Name == "for":
		return "goal"
	case f.Choices != nil:
		return "choice"
	case f.Value == "" || f.Value == "folder" || f.Value == "file":
		return f.Value
	}
	return "text"
}

// flagTable lists the flags of v, in the order in which they were added.
func (v *verb) flagTable() (rows []flagRow) {
	c := v.newCall(streams{out: io.Discard, err: io.Discard})
	c.flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		row := flagRow{Name: f.Name, Short: f.Shorthand, Several: f.Value.Type() == "stringArray"}
		row.Value, row.Text = pflag.UnquoteUsage(f)
		if f.Value.Type() == "bool" {
			row.Value = ""
		}
		if s, ok := f.Value.(*single); ok {
			row.Choices = slices.Clone(s.choices)
		}
		rows = append(rows, row)
	})
	return rows
}
