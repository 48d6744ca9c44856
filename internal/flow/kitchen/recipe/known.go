package recipe

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed data
var data embed.FS

// Known is the ingredients and recipes that come with the program. Callers must not
// change what it points to.
type Known struct {
	Ingredients map[string]*Ingredient
	Recipes     map[string]*Recipe
}

// Recipe is a filling by its ingredients.
type Recipe struct {
	Name         string             `toml:"name"`
	Method       string             `toml:"method"`
	WaterPct     float64            `toml:"water_pct"` // of the finished filling; 0: that of its ingredients
	IngredientsG map[string]float64 `toml:"ingredients_g"`
}

const (
	usdaSource    = "USDA National Nutrient Database for Standard Reference, release 26, row "
	enteredSource = "entered"
)

// Library reads the program's own data, once.
var Library = sync.OnceValue(func() *Known {
	k := &Known{map[string]*Ingredient{}, map[string]*Recipe{}}
	usda := map[string]map[string]string{}
	for _, row := range rows("usda-sr26.csv") {
		usda[row["ndb"]] = row
	}
	for _, row := range rows("ingredients.csv") {
		u := usda[row["ndb"]]
		n := func(key string) float64 {
			if u[key] == "" {
				return 0 // not measured
			}
			return float(u[key])
		}
		c := Composition{
			WaterG: n("water_g"), ProteinG: n("protein_g"), FatG: n("fat_g"), SaturatedG: n("saturated_fat_g"), SugarsG: n("sugar_g"),
			FibreG: n("fibre_g"), SaltG: n("sodium_mg") * 2.5 / 1000, AcidG: float(row["acid_g"]), LiquidFatG: n("fat_g") * float(row["liquid_fat"]),
		}
		// By difference: fibre, sugars and acids are in the carbohydrate.
		c.StarchG = max(0, n("carbohydrate_by_difference_g")-c.FibreG-c.SugarsG-c.AcidG)
		if row["alcohol"] == "yes" {
			c.AlcoholG = max(0, 100-c.WaterG-c.ProteinG-c.FatG-n("carbohydrate_by_difference_g")-n("ash_g"))
		}
		shares(&c, row["sugars"], c.SugarsG)
		k.Ingredients[row["name"]] = &Ingredient{row["name"], c, strings.Fields(row["allergens"]), usdaSource + row["ndb"]}
	}
	for _, row := range rows("own.csv") {
		c := Composition{
			WaterG: float(row["water_g"]), ProteinG: float(row["protein_g"]), FatG: float(row["fat_g"]), SaturatedG: float(row["saturated_g"]),
			FibreG: float(row["fibre_g"]), StarchG: float(row["starch_g"]), SaltG: float(row["salt_g"]), AcidG: float(row["acid_g"]), AlcoholG: float(row["alcohol_g"]),
		}
		shares(&c, row["solutes"], 1)
		c.sumSolutes()
		k.Ingredients[row["name"]] = &Ingredient{row["name"], c, strings.Fields(row["allergens"]), row["source"]}
	}
	var list struct{ Recipe []*Recipe }
	text, err := data.ReadFile("data/recipes.toml")
	if err == nil {
		err = toml.Unmarshal(text, &list)
	}
	if err != nil {
		panic("recipe: recipes.toml: " + err.Error())
	}
	for _, r := range list.Recipe {
		k.Recipes[r.Name] = r
	}
	return k
})

// sumSolutes makes sugars and polyols the sum of what they are.
func (c *Composition) sumSolutes() {
	c.SugarsG, c.PolyolsG = 0, 0
	for i, g := range c.Solutes {
		if solutes[i].polyol {
			c.PolyolsG += g
		} else {
			c.SugarsG += g
		}
	}
}

// shares reads "lactose 0.2 sucrose 0.8" and gives each its share of mass.
func shares(c *Composition, text string, mass float64) {
	f := strings.Fields(text)
	for i := 0; i+1 < len(f); i += 2 {
		at := soluteIndex(f[i])
		if at < 0 {
			panic("recipe: no solute " + f[i])
		}
		c.Solutes[at] = mass * float(f[i+1])
	}
}

func rows(name string) []map[string]string {
	f, err := data.Open("data/" + name)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("recipe: %s: %v", name, err))
	}
	var list []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, key := range all[0] {
			m[key] = r[i]
		}
		list = append(list, m)
	}
	return list
}

func float(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("recipe: data: " + err.Error())
	}
	return v
}
