package workshop_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"

	"mouldwright/internal/workshop"
)

// A workshop answers whoever opened it with its token, and nobody else.
func Example() {
	dir, err := os.MkdirTemp("", "workshop")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	s, err := workshop.New(context.Background(), workshop.Options{Version: "example", Job: filepath.Join(dir, "job.toml"), Port: "8137"})
	if err != nil {
		panic(err)
	}
	defer s.Close()
	ask := func(path string) int {
		r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1:8137"+path, nil)
		r.RemoteAddr = "127.0.0.1:50000"
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		return w.Code
	}
	fmt.Println("a stranger:", ask("/api/state"), ask("/open?token=guessed"))
	fmt.Println("the person:", ask("/open?token="+s.Token()))
	// Output:
	// a stranger: 403 403
	// the person: 303
}
