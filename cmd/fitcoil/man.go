package main

import (
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

// chapter is what the manual page says of a verb.
type chapter struct {
	Name, Synopsis, Rest, About, Details string
	Flags                                []flagRow
	Examples                             []string
}

// manPage is fitcoil(1).
func manPage() string {
	after := func(text string) string { // what a sentence begins with
		_, text, _ = strings.Cut(text, ": ")
		return text
	}
	safety := after(cautions)
	about := struct {
		Purpose, Codes, Safety string
		Verbs                  []chapter
	}{Purpose: after(title), Codes: after(exitText), Safety: strings.ToUpper(safety[:1]) + safety[1:]}
	for _, v := range verbs() {
		if !v.hidden {
			rest := strings.TrimSpace(strings.TrimPrefix(v.usageLine(), "fitcoil "+v.name))
			about.Verbs = append(about.Verbs, chapter{v.name, v.synopsis(), rest, v.about, v.details, v.flagTable(), v.example})
		}
	}
	return filled("man", about)
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
