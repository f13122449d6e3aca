package page

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
)

// node is an element of a page, or a piece of its text.
type node struct {
	name string // "" for text
	text string
	attr map[string]string
	kids []*node
}

// parse reads a page, whose marks must be as balanced as those of XML but for
// the void elements of HTML.
func parse(t *testing.T, page string) *node {
	t.Helper()
	page = regexp.MustCompile(`(?s)(<(script|style)[^>]*>).*?(</(script|style)>)`).ReplaceAllString(page, "$1$3")
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	root := &node{}
	open := []*node{root}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		top := open[len(open)-1]
		switch k := token.(type) {
		case xml.StartElement:
			n := &node{name: k.Name.Local, attr: map[string]string{}}
			for _, a := range k.Attr {
				if _, twice := n.attr[a.Name.Local]; twice {
					t.Errorf("<%s> has %s twice", n.name, a.Name.Local)
				}
				n.attr[a.Name.Local] = a.Value
			}
			top.kids = append(top.kids, n)
			open = append(open, n)
		case xml.EndElement:
			if top.name != k.Name.Local {
				t.Fatalf("<%s> is closed by </%s>", top.name, k.Name.Local)
			}
			open = open[:len(open)-1]
		case xml.CharData:
			top.kids = append(top.kids, &node{text: string(k)})
		}
	}
	if len(open) != 1 {
		t.Fatalf("<%s> is never closed", open[len(open)-1].name)
	}
	return root
}

// all lists the elements of the given names in the order of the page.
func (n *node) all(names ...string) (list []*node) {
	for _, k := range n.kids {
		for _, name := range names {
			if k.name == name {
				list = append(list, k)
			}
		}
		list = append(list, k.all(names...)...)
	}
	return list
}

// words is the text of n with single blanks.
func (n *node) words() string {
	var b strings.Builder
	n.gather(&b)
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "\u00a0", " ")), " ")
}

func (n *node) gather(b *strings.Builder) {
	b.WriteString(n.text)
	for _, k := range n.kids {
		k.gather(b)
	}
	switch n.name {
	case "th", "td", "p", "li", "dt", "dd", "div":
		b.WriteString(" ")
	}
}
