package benchlog

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/stable"
)

// notices collects what the maker should know on how the file was read.
type notices struct {
	file string
	list []notice
	said map[string]bool
}

type notice struct {
	line  int // 0: the whole file
	text  string
	aside bool // nothing was assumed or left out
}

// add notes text on a line of the file, 0 for the whole file.
func (n *notices) add(line int, text string) {
	n.list = append(n.list, notice{line: line, text: text})
}

// speaksOf says whether there is a notice on what, on a line.
func (n *notices) speaksOf(line int, what string) bool {
	return slices.ContainsFunc(n.list, func(x notice) bool { return x.line == line && strings.Contains(x.text, what) })
}

// once notes text the first time that key comes up.
func (n *notices) once(key string, line int, text string) {
	if n.said == nil {
		n.said = map[string]bool{}
	}
	if !n.said[key] {
		n.said[key] = true
		n.add(line, text)
	}
}

// aside notes what is plain, and shown only lest it surprise.
func (n *notices) aside(text string) {
	n.list = append(n.list, notice{text: text, aside: true})
}

// lines returns the notices with the file and line that they concern, in the
// order of lines, and those of them that are no asides.
func (n *notices) lines() (all, warnings []string) {
	stable.Sort(n.list, func(a, b notice) int { return a.line - b.line })
	for _, x := range n.list {
		text := n.file + ": " + x.text
		if x.line > 0 {
			text = fmt.Sprintf("%s:%d: %s", n.file, x.line, x.text)
		}
		all = append(all, text)
		if !x.aside {
			warnings = append(warnings, text)
		}
	}
	return all, warnings
}
