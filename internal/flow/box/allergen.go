package box

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// group is a group of foods that some rules have named on labels; how each set of rules
// calls it stands in wordings.
type group struct {
	key    string   // by which it is told apart
	names  []string // words that name it, and are stressed on a label
	brings []string // foods that bring it without naming it
}

// groups are the fourteen of Regulation (EU) 1169/2011, Annex II, in its order.
var groups = []group{
	{"gluten", []string{"gluten", "wheat", "rye", "barley", "oat", "spelt", "kamut", "khorasan", "triticale"}, []string{"semolina", "couscous", "bulgur", "malt", "flour", "biscuit", "wafer", "coeliac", "celiac", "durum", "farro", "seitan", "breadcrumb"}},
	{"crustaceans", []string{"crustacean", "crab", "lobster", "prawn", "shrimp", "crayfish", "shellfish"}, []string{"krill", "scampi"}},
	{"eggs", []string{"egg"}, []string{"albumen", "albumin", "meringue", "mayonnaise", "lysozyme"}},
	{"fish", []string{"fish"}, []string{"anchovy", "cod", "salmon", "tuna", "isinglass"}},
	{"peanuts", []string{"peanut", "groundnut"}, []string{"arachis"}},
	{"soya", []string{"soya", "soy", "soybean"}, []string{"tofu", "edamame", "tempeh"}},
	{"milk", []string{"milk"}, []string{"cream", "butter", "buttermilk", "ghee", "whey", "casein", "caseinate", "lactose", "yoghurt", "yogurt", "quark", "mascarpone", "cheese", "dairy", "curd"}},
	{"nuts", []string{"nut", "almond", "hazelnut", "walnut", "cashew", "pecan", "pistachio", "macadamia", "queensland"}, []string{"praline", "gianduja", "marzipan", "nougat", "frangipane", "filbert"}},
	{"celery", []string{"celery"}, []string{"celeriac"}},
	{"mustard", []string{"mustard"}, nil},
	{"sesame", []string{"sesame"}, []string{"tahini", "halva"}},
	{"sulphites", []string{"sulphite", "sulfite", "sulphur", "sulfur", "e220"}, nil},
	{"lupin", []string{"lupin", "lupine"}, nil},
	{"molluscs", []string{"mollusc", "mollusk", "oyster", "mussel", "clam", "squid", "octopus", "snail"}, nil},
}

// asks is what a guest's word means beside the words of the groups: wider where people
// speak loosely, since a piece too few is better than an allergen.
var asks = map[string][]string{
	"nuts": {"nuts", "peanuts"}, "nut": {"nuts", "peanuts"}, "tree nuts": {"nuts"}, "tree nut": {"nuts"},
	"shellfish": {"crustaceans", "molluscs"}, "seafood": {"crustaceans", "molluscs", "fish"}, "soy": {"soya"},
}

// usWheat are the words of the gluten group that are wheat, the one of it that the
// United States count.
var usWheat = []string{"wheat", "spelt", "kamut", "khorasan", "triticale", "semolina", "couscous", "bulgur", "durum", "farro", "seitan", "flour"}

// apart are foods whose names hold the word of another.
var apart = strings.NewReplacer(
	"cocoa butter", "cocoa", "cacao butter", "cacao", "shea butter", "shea", "cream of tartar", "tartar",
	"coconut milk", "coconut", "coconut cream", "coconut", "coconut butter", "coconut", "almond milk", "almond", "oat milk", "oat", "rice milk", "rice",
	"soya milk", "soya", "soy milk", "soy", "peanut butter", "peanut", "almond butter", "almond", "hazelnut butter", "hazelnut", "nut butter", "nut",
	"butter bean", "bean", "rice flour", "rice", "maize flour", "maize", "corn flour", "corn", "water chestnut", "chestnut", "milk thistle", "thistle", "oyster mushroom", "mushroom",
	"buckwheat flour", "buckwheat", "chestnut flour", "chestnut", "almond flour", "almond", "hazelnut flour", "hazelnut", "coconut flour", "coconut",
)

// animal are words of what no vegan eats, beside milk, eggs, fish, crustaceans and
// molluscs.
var animal = []string{"honey", "gelatine", "gelatin", "carmine", "cochineal", "shellac", "beeswax", "lard", "tallow", "isinglass", "e120", "e901", "e904"}

var animalGroups = []string{"crustaceans", "eggs", "fish", "milk", "molluscs"}

// alcoholic are words of what holds alcohol.
var alcoholic = []string{"rum", "vodka", "whisky", "whiskey", "wine", "liqueur", "brandy", "kirsch", "cognac", "gin", "sherry", "port", "marsala", "spirit", "schnapps", "beer", "champagne", "amaretto", "alcohol", "ethanol"}

// words parts a text into small words without accents and plural endings.
func words(s string) []string {
	s = apart.Replace(plain(s))
	var out []string
	for _, w := range strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) }) {
		out = append(out, single(w))
	}
	return out
}

// plain is a text in small letters, composed.
func plain(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(norm.NFC.String(s))), " ")
}

// single takes a plural's ending off.
func single(w string) string {
	switch n := len(w); {
	case n > 4 && strings.HasSuffix(w, "ies"):
		return w[:n-3] + "y"
	case n > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss"):
		return w[:n-1]
	}
	return w
}

// GroupsIn are the keys of the groups that a text's words name or bring, in the order
// of Annex II.
func GroupsIn(text string) []string {
	var out []string
	ws := words(text)
	for i := range groups {
		g := &groups[i]
		for _, w := range ws {
			if w == g.key || single(g.key) == w || slices.Contains(g.names, w) || slices.Contains(g.brings, w) {
				out = append(out, g.key)
				break
			}
		}
	}
	return out
}

// holds tells whether one of the words stands in a text.
func holds(text string, list []string) bool {
	for _, w := range words(text) {
		if slices.Contains(list, w) {
			return true
		}
	}
	return false
}

// inOrder sorts keys of groups as Annex II has them, each once.
func inOrder(keys map[string]bool) []string {
	out := []string{}
	for i := range groups {
		if keys[groups[i].key] {
			out = append(out, groups[i].key)
		}
	}
	return out
}

func groupOf(key string) *group {
	for i := range groups {
		if groups[i].key == key {
			return &groups[i]
		}
	}
	return nil
}

// Groups are the keys of all groups, in the order of Annex II.
func Groups() []string {
	var out []string
	for _, g := range groups {
		out = append(out, g.key)
	}
	return out
}
