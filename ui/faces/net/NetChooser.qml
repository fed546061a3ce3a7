pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Two groups of number pads: who comes in (bench), who goes out (court). With one legal partner one tap is enough.
Item {
    id: chooser

    required property TeamLook team
    required property ExchangeLook pair
    property bool narrow: false

    readonly property NetSizes sizes: Theme.net
    readonly property int lower: Math.round(chooser.height * (chooser.narrow ? 0.6 : 0.56))

    signal picked

    Words {
        bl: 34
        size: chooser.sizes.body
        text: "Comes in"
        color: Theme.dim
    }

    Flow {
        y: 52
        width: chooser.width
        spacing: Theme.s3

        Repeater {
            model: chooser.team.benchLine !== "" ? chooser.team.benchLine.split(" ") : []

            NetNumberPad {
                required property string modelData

                objectName: "net.subs." + chooser.team.letter + ".in." + modelData
                number: Number(modelData)
                chosen: chooser.pair.comesIn === number
                said: "comes in, Team " + chooser.team.letter
                onActed: {
                    chooser.pair.comes(number);
                    chooser.picked();
                }
            }
        }
    }

    Words {
        bl: chooser.lower + 34
        size: chooser.sizes.body
        text: "Goes out"
        color: Theme.dim
    }

    Flow {
        y: chooser.lower + 52
        width: chooser.width
        spacing: Theme.s3

        Repeater {
            model: chooser.team.fieldLine !== "" ? chooser.team.fieldLine.split(" ") : []

            NetNumberPad {
                required property string modelData

                objectName: "net.subs." + chooser.team.letter + ".out." + modelData
                number: Number(modelData)
                chosen: chooser.pair.goesOut === number
                said: "goes out, Team " + chooser.team.letter
                onActed: {
                    chooser.pair.goes(number);
                    chooser.picked();
                }
            }
        }
    }
}
