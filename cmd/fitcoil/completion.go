package main

import (
	"embed"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/template"
	"unicode"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
)

// templates are a script for each shell, and the manual page.
//
//go:embed templates
var templates embed.FS

func completionVerb() *verb {
	shells := []string{"bash", "zsh", "fish"}
	return &verb{
		name: "completion", args: "bash|zsh|fish", brief: "a script that completes commands in a shell",
		about: `
Prints a script for the shell named, made from the same table of flags as this
text. Put it where the shell looks for completions, for instance

  bash  ~/.local/share/bash-completion/completions/fitcoil
  zsh   a file _fitcoil in a folder of $fpath
  fish  ~/.config/fish/completions/fitcoil.fish`,
		example: []string{"fitcoil completion bash"},
		words:   shells, least: 1, most: 1,
		do: func(c *call) error {
			shell := c.args[0]
			if !slices.Contains(shells, shell) {
				return c.verb.usage(fmt.Sprintf("read %q, expected %s%s", shell, quantity.Listed(shells, "or"), meant(shell, shells, "")))
			}
			_, err := io.WriteString(c.out, completion(shell))
			return err
		},
	}
}

// completion is the script for a shell.
func completion(shell string) string {
	var list []command
	for _, v := range shownVerbs() {
		list = append(list, command{v.name, v.brief, v.words, v.takesFiles(), v.flagTable()})
	}
	return filled(shell, list)
}

// filled is a template with what it is about.
func filled(name string, about any) string {
	var b strings.Builder
	t := template.New(name).Funcs(template.FuncMap{
		"join":   func(words []string) string { return strings.Join(words, " ") },
		"quoted": quoted, "fishQuoted": fishQuoted, "zshFlag": zshFlag, "zshArgument": zshArgument,
		"roff": roff, "paragraphs": paragraphs, "upper": strings.ToUpper,
	})
	if err := template.Must(t.ParseFS(templates, "templates/"+name)).Execute(&b, about); err != nil {
		panic(err)
	}
	return b.String()
}

// command is a verb as a shell completes it.
type command struct {
	Name, Brief string
	Words       []string // that arguments may begin with, beside the names of files
	Files       bool     // arguments name files
	Flags       []flagRow
}

// shownVerbs lists the verbs to complete, with help among them.
func shownVerbs() (list []*verb) {
	help := &verb{name: "help", args: "command", brief: "more about a command"}
	for _, v := range verbs() {
		if !v.hidden {
			list = append(list, v)
			help.words = append(help.words, v.name)
		}
	}
	return append(list, help)
}

// takesFiles tells whether arguments of v name files: such are written in
// capitals.
func (v *verb) takesFiles() bool { return v.args != "" && unicode.IsUpper(rune(v.args[0])) }

// zshArgument completes an argument of c.
func zshArgument(c command) string {
	words := strings.Join(c.Words, " ")
	switch {
	case c.Name == "predict":
		return "*:argument:{ compadd -S '' -- ${(f)\"$(fitcoil complete predict -- ${words:#} 2> /dev/null)\"}; _files }"
	case c.Files && words != "":
		return "*:argument:{ compadd -S '' -- " + words + "; _files }"
	case c.Files:
		return "*:argument:_files"
	case words != "":
		return "*:argument:(" + words + ")"
	}
	return "-h[more about it]"
}

// zshFlag completes a flag by one of its names.
func zshFlag(name string, f flagRow) string {
	s := name + "[" + strings.NewReplacer("[", "\\[", "]", "\\]").Replace(f.Text) + "]"
	if f.Several {
		s = "*" + s
	}
	if f.Value == "" {
		return s
	}
	return s + ":" + f.Value + ":" + map[string]string{
		"goal":   "{ compadd -S '' -- ${(f)\"$(fitcoil complete for -- ${words:#} 2> /dev/null)\"} }",
		"choice": "(" + strings.Join(f.Choices, " ") + ")",
		"folder": "_files -/",
		"file":   "_files",
		"text":   " ",
	}[f.Kind()]
}

// quoted puts text in the single quotes of a Bourne shell.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }

// fishQuoted puts text in the single quotes of fish.
func fishQuoted(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text) + "'"
}

// goals are the words that --for may begin with.
var goals = []string{"L", "C", "gain", "hand", "frequency@"}

// completeVerb answers the completions of the shells: which words the log on the
// command line gives.
func completeVerb() *verb {
	return &verb{
		name: "complete", args: "predict|for WORD...", brief: "words of a log, for completion in a shell", hidden: true, least: 1, most: -1,
		about: `
Prints the words of states (predict) or goals (for) of the first log among the
words given, one a line. The completions of the shells use it.`,
		example: []string{"fitcoil complete predict testdata/lighthouse.csv"},
		do: func(c *call) error {
			words := slices.Clone(goals)
			states := c.args[0] != "for"
			if states {
				words = []string{"added=", "core=", "covered=", "hand=", "bare"}
			}
			for _, name := range c.args[1:] {
				if log := quietly(name); log != nil {
					words = append(words, wordsOf(log, states)...)
					break
				}
			}
			_, err := io.WriteString(c.out, strings.Join(words, "\n")+"\n")
			return err
		},
	}
}

// quietly reads a log, nil where there is none.
func quietly(name string) *benchlog.Log {
	f := regular(name)
	if f == nil {
		return nil
	}
	defer f.Close()
	log, err := benchlog.Read(f, name, benchlog.Options{})
	if err != nil {
		return nil
	}
	return log
}

// wordsOf lists the words that the cores, parts and distances of a log give.
func wordsOf(log *benchlog.Log, states bool) (words []string) {
	add := func(w string) {
		if !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	for i := range log.Readings {
		s := &log.Readings[i].State
		switch {
		case s.Core != "" && states:
			add("core=" + s.Core)
		case s.Core != "":
			add("gain:" + s.Core)
		}
		if near := s.Hand; states && near < 1e3 {
			add(fmt.Sprintf("hand=%scm", quantity.Digits(100*near, 3)))
		}
	}
	for _, p := range log.Parts {
		switch {
		case !states && !p.Known:
			add("part_capacitance:" + p.Name)
		case states && p.Known && '0' <= p.Name[0] && p.Name[0] <= '9':
			add("added=" + strings.ReplaceAll(p.Name, " ", ""))
		case states:
			add("added=" + p.Name)
		}
	}
	for i, w := range words {
		words[i] = quantity.Visible(w)
	}
	return words
}
