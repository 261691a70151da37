from groundref.track.counting import counted


def test_one_and_many() -> None:
    assert [counted(number, "place") for number in (0, 1, 2, 1000)] == [
        "0 places",
        "1 place",
        "2 places",
        "1,000 places",
    ]
