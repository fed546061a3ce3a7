pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Two groups of number pads on the phone: who comes in (bench), who goes out (court).
Item {
    id: chooser

    required property TeamLook team
    required property ExchangeLook pair

    readonly property PhoneSizes sizes: Theme.phone

    Repeater {
        model: ["in", "out"]

        Item {
            id: group

            required property string modelData
            required property int index

            readonly property bool coming: group.index === 0
            readonly property string numbers: group.coming ? chooser.team.benchLine : chooser.team.fieldLine

            y: group.index * 184
            width: chooser.width

            Words {
                bl: 24
                size: chooser.sizes.small
                text: group.coming ? "Comes in" : "Goes out"
                color: Theme.dim
            }

            Flow {
                y: 36
                width: group.width
                spacing: Theme.s3

                Repeater {
                    model: group.numbers !== "" ? group.numbers.split(" ") : []

                    NetNumberPad {
                        required property string modelData

                        objectName: "net.subs." + chooser.team.letter + "." + group.modelData + "." + modelData
                        width: Math.floor((chooser.width - 3 * Theme.s3) / 4)
                        height: 64
                        number: Number(modelData)
                        chosen: number === (group.coming ? chooser.pair.comesIn : chooser.pair.goesOut)
                        said: (group.coming ? "comes in" : "goes out") + ", Team " + chooser.team.letter
                        onActed: {
                            if (group.coming)
                                chooser.pair.comes(number);
                            else
                                chooser.pair.goes(number);
                        }
                    }
                }
            }
        }
    }
}
