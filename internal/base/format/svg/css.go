package svg

import (
	"sort"
	"strings"

	"mouldwright/internal/base/finding"
)

// rule is one selector of a style sheet with its declarations. Only compound
// selectors are read: element, .class, #id and their combinations; what needs the
// tree around an element is named in a finding.
type rule struct {
	element, id string // "" for any
	classes     []string
	weight      int // specificity: id 10000, class 100, element 1
	order       int
	props       []prop
}

type prop struct {
	name, value string
	important   bool
}

func (r *rule) matches(n *node) bool {
	if (r.element != "" && r.element != n.name) || (r.id != "" && r.id != n.attr["id"]) {
		return false
	}
	if len(r.classes) == 0 {
		return true
	}
	has := strings.Fields(n.attr["class"])
next:
	for _, c := range r.classes {
		for _, h := range has {
			if c == h {
				continue next
			}
		}
		return false
	}
	return true
}

// styleSheet reads the text of one style element.
func (w *walker) styleSheet(n *node) {
	if t := n.attr["type"]; t != "" && t != "text/css" {
		w.warn(finding.Care, n, "a style sheet that is not CSS is not read", "save the drawing as plain SVG")
		return
	}
	text := stripComments(n.text)
	for {
		text = strings.TrimLeft(text, " \t\r\n\f;}")
		if text == "" {
			return
		}
		if text[0] == '@' {
			text = w.atRule(n, text)
			continue
		}
		open := strings.IndexByte(text, '{')
		if open < 0 {
			return
		}
		body := text[open+1:]
		end := strings.IndexByte(body, '}')
		if end < 0 {
			end = len(body)
		}
		props := declarations(body[:end])
		for _, sel := range strings.Split(text[:open], ",") {
			r, ok := selector(strings.TrimSpace(sel))
			if !ok {
				w.warn(finding.Care, n, "the style selector \""+clip(strings.TrimSpace(sel))+"\" is not read (only element, .class, #id)",
					"save the drawing as plain SVG with presentation attributes")
				continue
			}
			if len(w.rules) >= MaxRules {
				w.fail(n, "too many style rules", "at most 5000", "save the drawing as plain SVG")
				return
			}
			r.order, r.props = len(w.rules), props
			w.rules = append(w.rules, r)
		}
		if end == len(body) {
			return
		}
		text = body[end+1:]
	}
}

// atRule skips one @ rule with its block and gives what follows.
func (w *walker) atRule(n *node, text string) string {
	depth := 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ';':
			if depth == 0 {
				return w.skipped(n, text, i)
			}
		case '{':
			depth++
		case '}':
			if depth--; depth <= 0 {
				return w.skipped(n, text, i)
			}
		}
	}
	return w.skipped(n, text, len(text)-1)
}

func (w *walker) skipped(n *node, text string, end int) string {
	name := strings.FieldsFunc(text, func(r rune) bool { return isSpace(byte(r)) || r == '{' || r == ';' })[0]
	if name != "@charset" && name != "@namespace" && name != "@font-face" {
		w.warn(finding.Care, n, "the style rule "+clip(name)+" is not read", "save the drawing as plain SVG")
	}
	return text[end+1:]
}

func stripComments(s string) string {
	var b strings.Builder
	for {
		i := strings.Index(s, "/*")
		if i < 0 {
			break
		}
		b.WriteString(s[:i])
		j := strings.Index(s[i+2:], "*/")
		if j < 0 {
			return b.String()
		}
		b.WriteByte(' ')
		s = s[i+2+j+2:]
	}
	b.WriteString(s)
	out := strings.ReplaceAll(b.String(), "<!--", "")
	return strings.ReplaceAll(out, "-->", "")
}

func selector(s string) (r rule, ok bool) {
	if s == "" {
		return r, false
	}
	for i := 0; i < len(s); {
		kind := s[i]
		j := i
		if kind == '.' || kind == '#' {
			j++
		}
		if kind == '*' && i == 0 {
			i++
			continue
		}
		k := j
		for k < len(s) && (isAlpha(s[k]) || isDigit(s[k]) || s[k] == '-' || s[k] == '_' || s[k] >= 0x80) {
			k++
		}
		if k == j || (kind != '.' && kind != '#' && i != 0) {
			return r, false
		}
		switch kind {
		case '.':
			r.classes = append(r.classes, s[j:k])
			r.weight += 100
		case '#':
			if r.id != "" {
				return r, false
			}
			r.id = s[j:k]
			r.weight += 10000
		default:
			r.element = s[j:k]
			r.weight++
		}
		i = k
	}
	return r, true
}

// declarations reads "name: value; ..." of a rule or a style attribute.
func declarations(s string) []prop {
	var out []prop
	for _, d := range strings.Split(s, ";") {
		i := strings.IndexByte(d, ':')
		if i < 0 {
			continue
		}
		p := prop{name: strings.ToLower(strings.TrimSpace(d[:i])), value: strings.TrimSpace(d[i+1:])}
		if k := strings.LastIndexByte(p.value, '!'); k >= 0 && strings.EqualFold(strings.TrimSpace(p.value[k+1:]), "important") {
			p.value, p.important = strings.TrimSpace(p.value[:k]), true
		}
		out = append(out, p)
	}
	return out
}

// cascade gives the declared properties of an element: presentation attributes
// under style sheets under the style attribute, important ones on top (CSS 2.2, 6.4).
func (w *walker) cascade(n *node) map[string]string {
	out := make(map[string]string, 8)
	for k, v := range n.attr {
		if properties[k] {
			out[k] = v
		}
	}
	var hits []*rule
	for i := range w.rules {
		if w.rules[i].matches(n) {
			hits = append(hits, &w.rules[i])
		}
	}
	sort.SliceStable(hits, func(i, j int) bool { return hits[i].weight < hits[j].weight })
	inline := declarations(stripComments(n.attr["style"]))
	for _, important := range [...]bool{false, true} {
		apply := func(list []prop) {
			for _, p := range list {
				if p.important == important && properties[p.name] {
					out[p.name] = p.value
				}
			}
		}
		for _, r := range hits {
			apply(r.props)
		}
		apply(inline)
	}
	return out
}
