// The usual cautions, worded as on the printed sheets. They are common practice and no
// substitute for the sheets that come with a material, nor for local rules, which come first.
export const cautions = {
  resin: {
    title: "Uncured resin harms skin and water",
    text: "Wear nitrile gloves and goggles, keep the window open, and let no food into the room. Cure every drop and every wipe before it is thrown away; none goes down a drain. Read your resin's safety sheet first.",
  },
  print: {
    title: "A print never touches food",
    text: "Printed parts serve to shape the rubber. Only the cured rubber, of a kind declared for food, may touch chocolate.",
  },
  cure: {
    title: "Rubber may stay sticky on a print",
    text: "Uncured resin stops addition-cure rubber from setting. Wash and cure the print fully, then try your own rubber on a pad of the same resin, treated in the same way, and wait the full cure time before you pour a tray. No latex gloves: they spoil it too.",
  },
  vacuum: {
    title: "Vacuum and heat",
    text: "A vacuum vessel can break inwards: use one made for it, check it for cracks, wear goggles. For the post-cure keep to the rubber's data sheet and your oven's limits, and air the room.",
  },
  food: {
    title: "Food: local rules come first",
    text: "If you give or sell what you make, your local food law and its licences decide, not this page. Clean hands, clean tools, clean moulds. Keep fillings as cold and use them as soon as their recipe says.",
  },
  allergen: {
    title: "Allergens travel on spatulas",
    text: "Wash bowls and tools between fillings, make the pieces without allergens first, and write on every box what is in it.",
  },
};
