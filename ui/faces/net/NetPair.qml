pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who comes in and who goes out, large, each in a column of its own.
Item {
    id: both

    required property ExchangeLook pair
    required property bool waits
    required property bool narrow

    readonly property NetSizes sizes: Theme.net
    readonly property int figure: both.narrow ? both.sizes.due : both.sizes.clock

    Repeater {
        model: ["in", "out"]

        Item {
            id: part

            required property string modelData
            required property int index

            x: Math.round(part.index * both.width * 0.58)

            Words {
                bl: 112
                size: both.sizes.body
                text: part.modelData
                color: Theme.dim
            }

            Words {
                bl: 226
                size: both.figure
                bold: part.index === 0
                text: String(part.index === 0 ? both.pair.comesIn : both.pair.goesOut)
                color: part.index === 1 || both.waits ? Theme.dim : Theme.ink
            }
        }
    }

    Icon {
        x: Math.round(both.width * 0.58 - width - (both.narrow ? Theme.s3 : Theme.s5))
        y: Math.round(226 - both.figure * 0.36 - height / 2)
        path: Marks.leftward
        size: both.narrow ? 28 : both.sizes.mark
        tone: Theme.dim
    }
}
