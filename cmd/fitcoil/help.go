package main

import (
	"fmt"
	"io"
	"strings"
)

const cautions = `Safety: these coils make high voltage. It burns through air, keeps its charge,
makes ozone and ultraviolet light, disturbs radio and can start fires. Take
readings at low power with a pickup probe held away from the coil, never by
touching. Local codes and licensed practice come before anything printed here.
`

// overview is what fitcoil prints when nothing is asked.
func overview() string {
	var b strings.Builder
	b.WriteString("fitcoil: from a page of resonance frequencies to what the coil is\n\n")
	for _, v := range verbs() {
		fmt.Fprintf(&b, "  fitcoil %-22s %s\n", v.name+" "+v.args, v.brief)
	}
	b.WriteString("\nExamples:\n  fitcoil fit lighthouse.csv\n  fitcoil fit lighthouse.csv --plots figures\n")
	b.WriteString("\nfitcoil COMMAND --help tells more. \"-\" stands for standard input.\n\n")
	b.WriteString(cautions)
	return b.String()
}

func help(args []string, s streams) error {
	if len(args) == 0 {
		_, err := io.WriteString(s.out, overview())
		return err
	}
	for _, v := range verbs() {
		if v.name == args[0] {
			return v.run([]string{"--help"}, s)
		}
	}
	return unknownVerb(args[0])
}

// manual is the text of --help.
func (v *verb) manual(c *call) string {
	var b strings.Builder
	fmt.Fprintf(&b, "fitcoil %s: %s\n\nUsage: fitcoil %s %s [flags]\n", v.name, v.brief, v.name, v.args)
	if v.about != "" {
		b.WriteString("\n" + strings.TrimSpace(v.about) + "\n")
	}
	if flags := c.flags.FlagUsages(); flags != "" {
		b.WriteString("\nFlags:\n" + flags)
	}
	if len(v.example) > 0 {
		b.WriteString("\nExamples:\n")
		for _, e := range v.example {
			b.WriteString("  " + e + "\n")
		}
	}
	b.WriteString(`
Exit codes: 0 answered, 1 internal fault, 2 usage, 3 bad data, 4 input
unreadable, 5 output unwritable, 6 the readings can't answer, 130 interrupted.

` + cautions)
	return b.String()
}
