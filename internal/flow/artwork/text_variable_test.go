package artwork

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
)

func TestSubstitute(t *testing.T) {
	row := map[string]string{"name": "Ysoline", "table no": "7", "odd": "{name}"}
	for text, want := range map[string]string{
		"plain":                  "plain",
		"":                       "",
		"for {name}":             "for Ysoline",
		"{ name }\n{table no}":   "Ysoline\n7",
		"{{name}}":               "{name}",
		"{{{name}}}":             "{Ysoline}",
		"{odd}":                  "{name}", // a value is not read again
		"नमस्ते {name}, {name}!": "नमस्ते Ysoline, Ysoline!",
	} {
		if got, err := Substitute(text, row); err != nil || got != want {
			t.Errorf("%q gives %q (%v), want %q", text, got, err, want)
		}
	}
	for text, says := range map[string]string{
		"{nmae}":  "{name}, {odd}, {table no}",
		"{}":      "the variable {}",
		"{name":   "a { without its partner",
		"name}":   "a } without its partner",
		"{na{me}": "a { without its partner",
	} {
		_, err := Substitute(text, row)
		var fe *finding.Error
		if !errors.As(err, &fe) || !strings.Contains(err.Error(), says) || fe.Do == "" {
			t.Errorf("%q: %v, want %q", text, err, says)
		}
	}
	if _, err := Substitute("{name}", nil); err == nil || !strings.Contains(err.Error(), "names = true") {
		t.Errorf("a variable without a row: %v", err)
	}
}

func TestHasVariable(t *testing.T) {
	for text, want := range map[string]bool{"": false, "a": false, "{{a}}": false, "{a}": true, "x {a} y": true} {
		if HasVariable(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
	if got := Variables("{b} {a} {{c}} {b}"); !slices.Equal(got, []string{"b", "a"}) {
		t.Errorf("variables %q", got)
	}
}
