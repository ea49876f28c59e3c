"""The few words a recipe page needs of its own, in the page's language."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PageWords:
    """Headings and labels."""

    ingredients: str
    method: str
    pictures: str
    serves: str
    hands_on: str
    in_all: str
    contains: str
    photographs: str
    licence: str
    acquire: str


_WORDS = {
    "en": PageWords(
        "Ingredients", "Method", "Pictures", "Makes", "Hands-on time", "Total time", "Contains:", "Photographs:",
        "Licence", "Ask for a licence",
    ),
    "pt": PageWords(
        "Ingredientes", "Preparação", "Imagens", "Rende", "Mãos na massa", "Ao todo", "Contém:", "Fotografias:",
        "Licença", "Pedir uma licença",
    ),
    "es": PageWords(
        "Ingredientes", "Preparación", "Imágenes", "Rinde", "Manos a la obra", "En total", "Contiene:",
        "Fotografías:", "Licencia", "Pedir una licencia",
    ),
    "fr": PageWords(
        "Ingrédients", "Préparation", "Images", "Donne", "Travail", "En tout", "Contient :", "Photographies :",
        "Licence", "Demander une licence",
    ),
    "de": PageWords(
        "Zutaten", "Zubereitung", "Bilder", "Ergibt", "Arbeitszeit", "Insgesamt", "Enthält:", "Fotografien:",
        "Lizenz", "Lizenz anfragen",
    ),
    "it": PageWords(
        "Ingredienti", "Preparazione", "Immagini", "Dosi", "Lavoro", "In tutto", "Contiene:", "Fotografie:",
        "Licenza", "Chiedere una licenza",
    ),
}  # fmt: skip


def page_words(language: str) -> PageWords:
    """For a language tag such as pt-PT; English when the language is not one of those here."""
    return _WORDS.get(language.split("-")[0].lower(), _WORDS["en"])
