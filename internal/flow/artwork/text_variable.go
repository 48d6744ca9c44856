package artwork

import (
	"fmt"
	"slices"
	"strings"

	"mouldwright/internal/base/finding"
)

// Substitute replaces each {name} in a text by the value that the row of the name
// list has under it; {{ and }} stand for the braces themselves. An unknown name,
// or a brace without its partner, is a *finding.Error.
func Substitute(text string, row map[string]string) (string, error) {
	var b strings.Builder
	err := eachPart(text, func(s string, variable bool) error {
		if !variable {
			b.WriteString(s)
			return nil
		}
		v, ok := row[s]
		if !ok {
			return unknownVariable(s, row)
		}
		b.WriteString(v)
		return nil
	})
	if err != nil {
		return "", err
	}
	return b.String(), nil
}

// HasVariable reports whether a text has a variable in it.
func HasVariable(text string) bool { return len(Variables(text)) > 0 }

// Variables lists the names of the variables in a text, each once, in order. A
// text with a stray brace has those before it.
func Variables(text string) []string {
	var names []string
	_ = eachPart(text, func(s string, variable bool) error { // a stray brace is Substitute's to report
		if variable && !slices.Contains(names, s) {
			names = append(names, s)
		}
		return nil
	})
	return names
}

// eachPart gives a text's literal parts and the names of its variables in order.
func eachPart(text string, f func(s string, variable bool) error) error {
	for text != "" {
		i := strings.IndexAny(text, "{}")
		if i < 0 {
			return f(text, false)
		}
		if i > 0 {
			if err := f(text[:i], false); err != nil {
				return err
			}
		}
		c := text[i]
		text = text[i+1:]
		if text != "" && text[0] == c { // {{ or }}
			text = text[1:]
			if err := f(string(c), false); err != nil {
				return err
			}
			continue
		}
		end := strings.IndexAny(text, "{}")
		if c == '}' || end < 0 || text[end] != '}' {
			return &finding.Error{Key: "text", Found: fmt.Sprintf("a %c without its partner", c),
				Allowed: "{name} for a column of the name list, {{ and }} for braces",
				Do:      "close the variable, or write the brace twice"}
		}
		if err := f(strings.TrimSpace(text[:end]), true); err != nil {
			return err
		}
		text = text[end+1:]
	}
	return nil
}

func unknownVariable(name string, row map[string]string) error {
	e := &finding.Error{Key: "text", Found: fmt.Sprintf("the variable {%s}, which the name list does not have", name), Do: "use one of these, or add a column to the name list"}
	if len(row) == 0 {
		e.Allowed = "no variables: this text has no row of the name list"
		e.Do = "set names = true for the piece, or write {{ for a brace"
		return e
	}
	known := make([]string, 0, len(row))
	for k := range row {
		known = append(known, "{"+k+"}")
	}
	slices.Sort(known)
	e.Allowed = strings.Join(known, ", ")
	return e
}
