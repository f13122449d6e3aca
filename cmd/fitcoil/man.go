package main

import (
	"fmt"
	"io"
	"strings"
)

func manVerb() *verb {
	return &verb{
		name: "man", brief: "print the manual page", hidden: true,
		about: `
Prints the manual page of fitcoil in roff, made from the same table of flags as
this text.`,
		example: []string{"fitcoil man"},
		do: func(c *call) error {
			_, err := io.WriteString(c.out, manPage())
			return err
		},
	}
}

// manPage is fitcoil(1).
func manPage() string {
	var b strings.Builder
	b.WriteString(".\\\" Printed by: fitcoil man\n.TH FITCOIL 1 \"\" fitcoil \"User Commands\"\n")
	_, purpose, _ := strings.Cut(title, ": ")
	fmt.Fprintf(&b, ".SH NAME\nfitcoil \\- %s\n.SH SYNOPSIS\n", roff(purpose))
	first := true
	for _, v := range verbs() {
		if v.hidden {
			continue
		}
		if !first {
			b.WriteString(".br\n")
		}
		first = false
		fmt.Fprintf(&b, ".B fitcoil %s\n", v.name)
		if rest := strings.TrimPrefix(v.usageLine(), "fitcoil "+v.name); rest != "" {
			b.WriteString(roff(strings.TrimSpace(rest)) + "\n")
		}
	}
	b.WriteString(".SH DESCRIPTION\n" + paragraphs(`
A bench log is a CSV file of frequencies and of the state of the coil at each.
"-" in place of a file stands for standard input, and "--" ends the flags.
Results go to standard output, all else to standard error.`))
	for _, v := range verbs() {
		if v.hidden {
			continue
		}
		fmt.Fprintf(&b, ".SH %s\n%s\n", strings.ToUpper(v.name), roff(v.synopsis()))
		b.WriteString(".PP\n" + paragraphs(v.about))
		if v.details != "" {
			b.WriteString(".PP\n" + paragraphs(v.details))
		}
		for _, f := range v.flagTable() {
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(f.usage()), roff(f.text))
		}
		if len(v.example) > 0 {
			b.WriteString(".PP\nExamples:\n.PP\n.nf\n")
			for _, e := range v.example {
				b.WriteString(roff("  "+e) + "\n")
			}
			b.WriteString(".fi\n")
		}
	}
	_, codes, _ := strings.Cut(exitText, ": ")
	_, safety, _ := strings.Cut(cautions, ": ")
	return b.String() + ".SH EXIT STATUS\n" + paragraphs(codes) + ".SH SAFETY\n" + paragraphs(strings.ToUpper(safety[:1])+safety[1:])
}

// paragraphs sets text whose paragraphs stand apart by empty lines; lines that
// begin with a space stay as they are.
func paragraphs(text string) string {
	var b strings.Builder
	for i, p := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		fixed := strings.HasPrefix(p, " ")
		if fixed {
			b.WriteString(".nf\n")
		}
		for _, line := range strings.Split(p, "\n") {
			b.WriteString(roff(line) + "\n")
		}
		if fixed {
			b.WriteString(".fi\n")
		}
	}
	return b.String()
}

// roff escapes text: backslashes, the hyphens of flags, and what would be taken
// for a request at the beginning of a line.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}
