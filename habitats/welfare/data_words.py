"""Names, sources and notes of the rule sets' files, for `makemessages` to collect.

A test holds it to the files. Publications keep their names in every language.
"""

from habitats.wording import message

WORDS = (
    message("EU laboratory law"),
    message("Directive 2010/63/EU, Annex III, Table 1.5"),
    message("US laboratory guide"),
    message("ILAR Guide for the Care and Use of Laboratory Animals, 8th ed. 2011, Table 3.2"),
    message("US laboratory law, enclosures from before 15 August 1990"),
    message("9 CFR 3.28(b)"),
    message("It holds only for enclosures acquired before 15 August 1990."),
    message("US laboratory law"),
    message("9 CFR 3.28(c)"),
    message("Swiss animal welfare ordinance"),
    message("Switzerland, TSchV (SR 455.1), Annex 2, Table 1"),
    message("It binds private keepers too."),
    message("Austrian keeping ordinance"),
    message("Austria, 2. Tierhaltungsverordnung (BGBl. II 486/2004), Annex 1"),
    message("Austrian special keeping ordinance"),
    message("Austria, TSch-SV (BGBl. II 139/2018), Annex 1"),
    message("It is published for guinea pigs and dwarf rabbits. Here it is used for guinea pigs."),
    message("German vets' guidance"),
    message("Germany, TVT Merkblatt 159 (2020)"),
    message("Upper levels are extra: they do not count."),
    message("UK shop licence, juveniles"),
    message("North Kesteven District Council, pet shop licence conditions, Schedule 2"),
    message("It is for juveniles in shops, not for grown animals or homes."),
    message("Humane Society of the United States, minimum"),
    message(
        "Humane Society of the United States, guidance on guinea pig housing, as others "
        "quote it (date not known), minimum"
    ),
    message("Publications disagree: each figure is kept under the name of its own publication."),
    message("Humane Society of the United States, preferred"),
    message(
        "Humane Society of the United States, guidance on guinea pig housing, as others "
        "quote it (date not known), preferred"
    ),
    message(
        "It has no figure for one animal: the figure for two is used. For four it says "
        "only: more than for three."
    ),
    message("Training Your Guinea Pig, minimum"),
    message("Bucsis and Somerville, Training Your Guinea Pig (Barron's), minimum"),
    message("For one animal the book gives 7.5 to 8 square feet: the larger figure is used."),
    message("Directive 2010/63/EU, Annex III, Tables 2.1 to 2.4"),
    message(
        "The larger floor without a raised area is printed for one rabbit and for two; here"
        " that for two holds for larger groups too."
    ),
    message("ILAR Guide for the Care and Use of Laboratory Animals, 8th ed. 2011, Table 3.3"),
    message("9 CFR 3.53(c)"),
    message(
        "Food and water receptacles do not count as floor: enter the floor without what they cover."
    ),
    message("A female with litter has figures of her own, which are not known here."),
    message("UK companion rabbits"),
    message("UK rabbit welfare charity, space recommendations"),
    message(
        "The block is available at all times; upper floors, platforms and tunnels do not count."
    ),
    message("The Good Practice Code of 2021 may agree; this was not checked."),
    message("It is written for a pair."),
    message("Scottish guidance for rabbit breeders"),
    message(
        "Scottish Government, 2021 Regulations on licensing of activities involving "
        "animals, guidance for rabbit breeders, Annex C"
    ),
    message(
        "The table does not say how many rabbits its smallest floor is for: it is taken to "
        "be for one."
    ),
    message("Germany, TVT, guidance on keeping rabbits as pets"),
)
