package page

import (
	"fmt"
	"regexp"
	"strings"
)

// head is what the comments above the header of a log say.
type head struct {
	Fields []field  // "date: 12 November"
	Text   []string // paragraphs of the rest
}

type field struct{ Name, Text string }

// newHead sorts comments into fields, a word or two with a colon in front of a short text,
// and paragraphs, which an empty comment ends; nil without any.
func newHead(comments []string) *head {
	named := regexp.MustCompile(`^(\pL[\pL ]{1,19}): +(.{1,60})$`)
	h := &head{}
	open := false
	for _, c := range comments {
		if strings.HasSuffix(c, ",,") || strings.HasSuffix(c, ";;") { // a spreadsheet's empty cells
			c = strings.TrimRight(c, ",; ")
		}
		if m := named.FindStringSubmatch(c); m != nil && !open {
			h.Fields = append(h.Fields, field{m[1], m[2]})
			continue
		}
		switch {
		case c == "":
			open = false
		case open:
			h.Text[len(h.Text)-1] += " " + c
		default:
			h.Text = append(h.Text, c)
			open = true
		}
	}
	if len(h.Fields)+len(h.Text) == 0 {
		return nil
	}
	return h
}

// field returns the text of one, "" where there is none of that name.
func (h *head) field(name string) string {
	if h == nil {
		return ""
	}
	for _, f := range h.Fields {
		if strings.EqualFold(f.Name, name) {
			return f.Text
		}
	}
	return ""
}

// cite is how another text refers to the page.
func (c *content) cite() string {
	by := ""
	if name := c.Head.field("operator"); name != "" {
		by = name + ". "
	}
	when := ""
	if date := c.Head.field("date"); date != "" {
		when = ", measured " + date
	}
	return fmt.Sprintf("%sInductance and capacitance of a resonant coil from frequencies%s: report on %s. Fitted with fitcoil %s. SHA-256 of the log: %s.",
		by, when, c.Title, c.Version, c.SHA256)
}
