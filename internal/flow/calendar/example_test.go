package calendar_test

import (
	"context"
	"fmt"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/calendar"
)

// Two boxes for a Saturday noon, no mould to make: the boxing comes last and ends by noon,
// and no plan spans less than the bound that is proved.
func Example() {
	evening := []string{"18:00-22:00"}
	c := calendar.Choices{
		Monday: evening, Tuesday: evening, Wednesday: evening, Thursday: evening, Friday: evening, Saturday: []string{"08:00-20:00"},
		NeededBy: "12:00", People: 1, Printers: 1, Chambers: 1, Ovens: 1, SessionH: 4,
		FillingMin: unit.Sure(45), TemperMin: unit.Sure(45), RestH: unit.Sure(8), BoxMin: unit.Sure(30),
	}
	keeps := unit.Between(14, 28, 60)
	w := calendar.Work{
		Needed: unit.Date{Year: 2026, Month: 12, Day: 19}, Boxes: 2, Released: true, Copies: 1,
		Fillings: []calendar.Filling{{Name: "pear caramel", KeepDays: &keeps}}, EveningMin: 120, Rounds: 1,
	}
	cal, _, err := calendar.Make(context.Background(), w, c, calendar.Past{}, calendar.Options{})
	if err != nil {
		panic(err)
	}
	last := cal.Tasks[len(cal.Tasks)-1]
	fmt.Println(last.Name, "until", last.To.Format("Mon 15:04"))
	fmt.Println("no plan spans less:", cal.BoundH <= cal.SpanH)
	// Output:
	// fill the boxes until Sat 12:00
	// no plan spans less: true
}
