package pour

import (
	"fmt"
	"strings"

	"mouldwright/internal/base/material"
)

// Food is the food-contact check in plain words.
type Food struct {
	Declared bool     // the data sheet declares it, for an addition cure rubber
	Words    []string // sentences, in the order in which they are to be read
}

// foodRules are the rules that a declaration usually names, and what they ask for.
// Unit check: 20 mg/in² = 310 mg/dm².
var foodRules = [...]struct{ mark, words string }{
	{"177.2600", "It names 21 CFR 177.2600, the rule of the United States for rubber in repeated use: paragraph (e) is for watery food, paragraph (f) for fatty food. Chocolate is fatty: see that (f) is meant too."},
	{"1935/2004", "It names Regulation (EC) 1935/2004: the rubber must not endanger health nor change food, its smell or its taste (Article 3). The European Union has no limits of its own for silicone; the maker should name those of a country as well."},
	{"bfr", "It names the German recommendation XV for silicone, which limits what leaves the rubber in heat to 0.5 %: the post-cure is what reaches that."},
	{"(2004)5", "It names the resolution ResAP(2004)5 of the Council of Europe, with 10 mg/dm² as the most that may go over into food."},
}

// foodContact reads what the job knows of the rubber and food. It can only repeat what
// the data sheet says: local food law decides.
func foodContact(s material.Silicone) Food {
	f := Food{Declared: s.FoodContact != "" && s.Cure != "condensation"}
	say := func(format string, a ...any) { f.Words = append(f.Words, fmt.Sprintf(format, a...)) }
	say("The print itself never touches food; only the cured rubber does.")
	if s.Cure == "condensation" {
		say("This is a condensation cure rubber: it is not for food, whatever else is done to it.")
	}
	if s.FoodContact == "" {
		say("No declaration of food contact is known for this rubber. Until its data sheet's sentence stands in silicone.food_contact, no food may touch the mould.")
		return f
	}
	say("The data sheet declares: “%s”.", s.FoodContact)
	named := false
	for _, r := range foodRules {
		if strings.Contains(strings.ToLower(s.FoodContact), r.mark) {
			f.Words, named = append(f.Words, r.words), true
		}
	}
	if !named {
		say("It names none of the rules that are usually named (21 CFR 177.2600, (EC) 1935/2004, BfR XV, ResAP(2004)5): ask the maker which one it meets.")
	}
	if s.PostCureH > 0 {
		say("Before the first food it asks for a post-cure of %g h at %g °C: without it the declaration does not hold.", s.PostCureH, s.PostCureC)
	} else {
		say("It asks for no post-cure: most food-safe rubbers do, so read the sheet again.")
	}
	say("If you give or sell what you make, local food law comes first.")
	return f
}
