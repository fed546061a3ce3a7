pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The line-up sheet as it was written: front row under the net, liberos, captain, signature.
Item {
    id: paper

    required property TeamLook team
    required property SheetLook sheet
    required property int place

    readonly property NetSizes sizes: Theme.net
    readonly property list<string> numbers: paper.sheet.numbersLine.split(" ")
    readonly property int boxWide: Math.floor((paper.width - 12) / 3)

    Words {
        bl: 30
        size: paper.sizes.body
        bold: true
        text: "Line-up sheet"
    }

    Rectangle {
        y: 62
        width: paper.width
        height: Theme.heavy
        color: Theme.ink
    }

    Repeater {
        model: [4, 3, 2, 5, 6, 1]

        Rectangle {
            id: box

            required property int modelData
            required property int index

            x: (box.index % 3) * (paper.boxWide + 6)
            y: 74 + Math.floor(box.index / 3) * 102
            width: paper.boxWide
            height: 96
            color: Theme.clear
            border {
                width: paper.place === box.modelData ? Theme.frame : Theme.outline
                color: paper.place === box.modelData ? Theme.ink : Theme.line
            }

            Words {
                x: 9
                mid: 18
                size: paper.sizes.small
                text: String(box.modelData)
                color: Theme.dim
            }

            Words {
                x: Math.round((box.width - width) / 2)
                mid: 58
                size: paper.sizes.strong
                bold: true
                text: paper.numbers[box.modelData - 1]
            }
        }
    }

    Repeater {
        model: [["liberos", paper.sheet.liberosText], ["captain", paper.sheet.captain >= 0 ? String(paper.sheet.captain) : "none"], ["signed", paper.sheet.signed ? "coach" : "not yet"]]

        Item {
            id: line

            required property list<string> modelData
            required property int index

            y: 284 + line.index * 46
            width: paper.width
            height: 46

            Words {
                mid: 22
                size: paper.sizes.body
                text: line.modelData[0]
                color: Theme.dim
            }

            Words {
                x: line.width - width
                mid: 22
                size: paper.sizes.body
                bold: true
                text: line.modelData[1]
            }

            Rectangle {
                y: 45
                width: line.width
                height: Theme.hairline
                color: Theme.hair
            }
        }
    }
}
