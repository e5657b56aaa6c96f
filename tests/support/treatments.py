"""A treatment as it is typed, and its addresses."""

WRITTEN = {
    "drug": "Amber drops",
    "amount": "0.2 ml",
    "how": "by mouth",
    "how_often": "twice a day for five days",
    "times": "8, 20.30",
    "first_day": "2027-03-10",
    "last_day": "2027-03-14",
    "vet": "Dr Quail",
}


def of(treatment, what=""):
    return f"/animals/{treatment.animal.code}/health/treatments/{treatment.pk}/{what}"
