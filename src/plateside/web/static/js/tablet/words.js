// What the pages for tablets say by themselves.
export const SAID = {
  code: "Code to scan with the tablet's camera",
  since: (day) => `since ${day}`,
  forget: (name) => `Forget ${name}`,
};
