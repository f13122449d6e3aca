package main

import (
	"io"
	"slices"

	"github.com/spf13/pflag"
)

// flagRow is a flag as help, man page and completion show it.
type flagRow struct {
	name    string
	short   string // letter after a single dash; mostly ""
	value   string // what it needs, in a word; "" for a switch
	text    string
	choices []string // all values there are; nil when there is no end of them
	several bool     // may be given again
}

// usage is the flag with its value.
func (f flagRow) usage() string {
	text := "--" + f.name
	if f.short != "" {
		text = "-" + f.short + ", " + text
	}
	if f.value != "" {
		text += " " + f.value
	}
	return text
}

// folder and file tell what the value of f names.
func (f flagRow) folder() bool { return f.value == "folder" }
func (f flagRow) file() bool   { return f.value == "file" }

// flagTable lists the flags of v, in the order in which they were added.
func (v *verb) flagTable() (rows []flagRow) {
	c := v.newCall(streams{out: io.Discard, err: io.Discard})
	c.flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		row := flagRow{name: f.Name, short: f.Shorthand, several: f.Value.Type() == "stringArray"}
		row.value, row.text = pflag.UnquoteUsage(f)
		if f.Value.Type() == "bool" {
			row.value = ""
		}
		if s, ok := f.Value.(*single); ok {
			row.choices = slices.Clone(s.choices)
		}
		rows = append(rows, row)
	})
	return rows
}
