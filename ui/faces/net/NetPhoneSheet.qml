pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's line-up sheet as the six should stand, seen by this reader.
Item {
    id: paper

    required property SheetLook sheet
    required property bool atLeft

    readonly property PhoneSizes sizes: Theme.phone
    readonly property list<int> places: paper.atLeft ? [5, 4, 6, 3, 1, 2] : [2, 1, 3, 6, 4, 5]

    Repeater {
        model: paper.places

        Rectangle {
            id: place

            required property int modelData
            required property int index

            readonly property list<string> numbers: paper.sheet.numbersLine.split(" ")

            x: (place.index % 2) * (paper.width - width)
            y: Math.floor(place.index / 2) * 88
            width: Math.floor((paper.width - Theme.s3) / 2)
            height: 80
            color: Theme.clear
            border {
                width: Theme.outline
                color: Theme.line
            }

            Words {
                x: Theme.s3
                mid: 18
                size: paper.sizes.floor
                text: String(place.modelData)
                color: Theme.dim
            }

            Words {
                x: Math.round((parent.width - width) / 2)
                mid: parent.height / 2
                size: paper.sizes.title
                bold: true
                text: place.numbers.length === 6 ? place.numbers[place.modelData - 1] : ""
            }
        }
    }
}
