pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Shapes
import Crewlink.Ui

// One mark drawn from its path, `size` px square. It has no name of its own: the word beside it speaks.
Item {
    id: icon

    required property string path
    required property int size
    property color tone: Theme.ink
    property real weight: 2

    implicitWidth: icon.size
    implicitHeight: icon.size
    Accessible.ignored: true

    Shape {
        id: shape

        width: 24
        height: 24
        transformOrigin: Item.TopLeft
        scale: icon.size / 24

        ShapePath {
            strokeColor: icon.tone
            strokeWidth: icon.weight
            fillColor: Theme.clear
            capStyle: ShapePath.RoundCap
            joinStyle: ShapePath.RoundJoin

            PathSvg {
                path: icon.path
            }
        }
    }
}
