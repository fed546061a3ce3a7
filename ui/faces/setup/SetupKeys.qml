pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Ten digits and one key that takes the last one away.
Grid {
    id: keys

    required property real keyWide
    required property real keyHigh

    signal digit(int digit)
    signal rub

    columns: 3
    spacing: Theme.setup.gap

    Repeater {
        model: [1, 2, 3, 4, 5, 6, 7, 8, 9, -1, 0, -2]

        Item {
            id: place

            required property int modelData

            width: keys.keyWide
            height: keys.keyHigh

            Pad {
                visible: place.modelData >= 0
                objectName: "setup.key." + place.modelData
                anchors.fill: parent
                sizes: Theme.setup
                labelSize: Theme.setup.number
                centred: true
                text: String(place.modelData)
                onActed: keys.digit(place.modelData)
            }

            SetupArrow {
                visible: place.modelData === -2
                objectName: "setup.key.rub"
                anchors.fill: parent
                path: Marks.leftward
                markSize: 48
                spoken: "Take the last digit away"
                onActed: keys.rub()
            }
        }
    }
}
