package record

import "testing"

// What was struck out is not counted.
func TestStandings(t *testing.T) {
	r, err := Open(t.Context(), newJob(t), Options{Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	right, wrong := &Print{Head: Head{ID: newID()}, At: noon, Plate: 1}, &Print{Head: Head{ID: newID()}, At: noon, Plate: 2}
	for _, e := range [][]Entry{{right, wrong}, {&Withdrawal{Entry: wrong.ID, Why: "never begun"}}} {
		if err := r.Write(t.Context(), e...); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := r.Standings(t.Context()); err != nil || got != "1 print" {
		t.Errorf("%q, %v", got, err)
	}
}
