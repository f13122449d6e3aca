package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
)

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
