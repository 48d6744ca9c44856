package pour

import (
	"strings"
	"testing"
)

// Unit check of the rules' limits, worked outside the program: 1 in² is 6.4516 cm², so
// that 20 mg/in² of 21 CFR 177.2600 are 310.0 mg/dm².
func TestFoodContact(t *testing.T) {
	s := soft
	all := func() string { return strings.Join(foodContact(s).Words, " ") }
	s.FoodContact = ""
	if f := foodContact(s); f.Declared || !strings.Contains(all(), "no food may touch the mould") || !strings.Contains(all(), "print itself never touches food") {
		t.Errorf("nothing declared: %+v", f)
	}
	s.FoodContact = "Meets FDA 21 CFR 177.2600 after post-cure"
	if f := foodContact(s); !f.Declared || !strings.Contains(all(), "Chocolate is fatty") || !strings.Contains(all(), "4 h at 200 °C") {
		t.Errorf("one rule named: %+v", f)
	}
	s.FoodContact, s.PostCureH = "food safe", 0
	if f := foodContact(s); !f.Declared || !strings.Contains(all(), "names none of the rules") || !strings.Contains(all(), "asks for no post-cure") {
		t.Errorf("no rule named: %+v", f)
	}
	s.Cure = "condensation"
	if f := foodContact(s); f.Declared || !strings.Contains(all(), "not for food") {
		t.Errorf("condensation cure: %+v", f)
	}
}
