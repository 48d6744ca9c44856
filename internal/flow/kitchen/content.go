package kitchen

import (
	"mouldwright/internal/base/material"
	"mouldwright/internal/flow/kitchen/recipe"
)

// Content is what a filling's recipe comes to; nil for a filling without one.
func Content(name string, f material.Filling, own map[string]*recipe.Ingredient) (*recipe.Filling, error) {
	key := "filling." + name
	grams, waterPct, _, err := amounts(key, f)
	if err != nil || len(grams) == 0 {
		return nil, err
	}
	r, err := recipe.Work(grams, waterPct, own)
	return r, within(key, err)
}
