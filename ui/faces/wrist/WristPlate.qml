pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The plate of a notice on the wrist: what, whom in large figures or the sentence, from whom and on which side. On a
// round face it is the part of the circle above a chord, its lines set in the middle.
Item {
    id: plate

    required property NoticeLook notice
    required property WristShape shape
    required property string leftLetter
    property string place: ""
    property bool waits: false

    readonly property string side: plate.notice.team === "" || plate.notice.kind === "wrong_server" ? "" : plate.notice.team === plate.leftLetter ? ", on your left" : ", on your right"
    readonly property string foot: plate.notice.state === "withdrawn" ? plate.notice.reason : plate.notice.told !== "" ? plate.notice.toldAct : plate.notice.lateText !== "" ? plate.notice.fromText + ", " + plate.notice.lateText : plate.notice.fromText + plate.side

    NoticeTall {
        visible: !plate.shape.round
        width: plate.width
        height: plate.height
        notice: plate.notice
        sizes: Theme.wrist
        titleSize: plate.notice.title.length > 14 ? Theme.wrist.body : Theme.wrist.strong
        thirdHigh: Theme.wrist.thirdHigh
        place: plate.place
        stacked: plate.waits
        foot: plate.foot
    }

    WristRoundPlate {
        visible: plate.shape.round
        width: plate.width
        height: plate.height
        notice: plate.notice
        shape: plate.shape
        place: plate.place
        waits: plate.waits
        foot: plate.foot
    }
}
