import { expect, it } from "vitest";
import { change, parse } from "./list";

const text = 'name,table,allergies\nYsoline,1,\nQuillon,1,"hazelnuts, walnuts"\n';

it("reads quoted cells", () => {
  expect(parse(text)[2]).toEqual(["Quillon", "1", "hazelnuts, walnuts"]);
  expect(parse('a;b\r\n"x ""y""";2\r\n')).toEqual([
    ["a", "b"],
    ['x "y"', "2"],
  ]);
});
it("changes one guest and nothing else", () => {
  expect(change(text, "Ysoline", { allergies: "milk; eggs, nuts" })).toBe(
    'name,table,allergies\nYsoline,1,"milk; eggs, nuts"\nQuillon,1,"hazelnuts, walnuts"\n',
  );
  expect(change(text, "Nobody", { allergies: "milk" })).toBe(text);
});
it("adds a column that is missing", () => {
  expect(change("name\nYsoline\nBexhild\n", "Bexhild", { vegan: "yes" })).toBe("name,vegan\nYsoline,\nBexhild,yes\n");
});
