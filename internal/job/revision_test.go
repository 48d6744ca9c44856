package job

import (
	"os"
	"runtime"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/flow"
)

// A revision is what the job says, not how the file is written: the order of its keys,
// its comments and its spaces do not count, nor how many cores read it. The other order
// is the alphabet's, as the TOML library writes a table.
func TestRevisionIgnoresTheOrderOfKeys(t *testing.T) {
	text, err := os.ReadFile("../../examples/orchard/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := toml.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	sorted, err := toml.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	code := func(text []byte) string {
		j, err := Read("job.toml", text)
		if err != nil {
			t.Fatal(err)
		}
		in, err := j.Input(t.Context(), os.DirFS("../../examples/orchard"))
		if err != nil {
			t.Fatal(err)
		}
		return flow.Code(flow.Digest(in, "test"))
	}
	want := code(text)
	if got := code(sorted); got != want {
		t.Errorf("keys in another order: %s, want %s", got, want)
	}
	cores := runtime.GOMAXPROCS(1)
	got := code(text)
	runtime.GOMAXPROCS(cores)
	if got != want {
		t.Errorf("on one core: %s, want %s", got, want)
	}
	tree["title"] = "another"
	other, err := toml.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	if got := code(other); got == want {
		t.Errorf("another title has the same revision")
	}
}
