package job_test

import (
	"fmt"

	"mouldwright/internal/job"
)

// A job may leave out almost everything. What it does not say is taken from the classes of
// its printer, resin and rubber, and listed.
func Example() {
	text := []byte(`title = "A supper"
needed = 2027-09-11

[chocolate.dark]

[[piece]]
name = "crest"
chocolate = "dark"
width_mm = 30 # of the tin's lid
`)
	j, err := job.Read("job.toml", text)
	if err != nil {
		panic(err)
	}
	fmt.Println("given:", j.Choices.Pieces[0].WidthMM, "mm wide")
	for _, a := range j.Assumed {
		if a.Key == "piece[1].draft_deg" {
			fmt.Println("assumed:", a.Key, "=", a.Value)
		}
	}
	line, _ := j.Where("piece[1].width_mm")
	fmt.Println("line", line)
	// Output:
	// given: 30 mm wide
	// assumed: piece[1].draft_deg = 8
	// line 9
}

// An edit changes one value and leaves comments and order alone.
func ExampleSetKey() {
	text, err := job.SetKey([]byte("[master]\ngap_mm = 8 # wide\n"), "master.gap_mm", 6.5)
	fmt.Print(string(text), err)
	// Output:
	// [master]
	// gap_mm = 6.5 # wide
	// <nil>
}
