"""What is printed or published: call sheet, shot card, contact sheet, recipe page and its markup, read-me."""
