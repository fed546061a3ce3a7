pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The place of the answer: it answers the plate with its weight, else tells all what is suggested, else says ready.
Item {
    id: place

    required property CourtView court
    required property NetState desk
    property FaceSizes sizes: Theme.net
    property bool large: false

    readonly property NoticeLook asks: place.court.top
    readonly property bool tips: !place.asks.present && place.court.suggestion.present && !place.court.inRally
    readonly property bool chain: !place.asks.present && !place.tips && place.court.ready.state === "held" && !place.court.inRally
    readonly property bool idle: !place.asks.present && !place.tips && !(place.chain && !place.court.ready.r2Done)
    readonly property int wordSize: place.large ? place.sizes.title : place.sizes.strong

    function answerWord(kind: string): string {
        return kind === "visible_score" ? "It agrees" : kind === "count_near_limit" ? "Coach told" : "Got it";
    }

    AnswerPad {
        objectName: "net.answer.pad"
        visible: place.asks.present
        anchors.fill: parent
        sizes: place.sizes
        level: place.asks.level
        labelSize: place.asks.level === "now" || place.large ? place.sizes.title : place.sizes.strong
        markSize: place.large ? 72 : 48
        text: place.answerWord(place.asks.kind)
        armKey: place.asks.noticeId
        onActed: place.court.tell.answer(place.asks.noticeId)
    }

    Pad {
        objectName: "net.answer.tell"
        visible: place.tips
        anchors.fill: parent
        sizes: place.sizes
        kind: Pad.Filled
        centred: true
        path: Marks.flag
        markSize: place.large ? 72 : 48
        labelSize: place.large ? place.sizes.title : place.sizes.strong
        text: "Tell all"
        arm: true
        armKey: place.court.suggestion.proposalId
        onActed: place.desk.setPoint()
    }

    Pad {
        objectName: "net.answer.ready"
        visible: place.chain && !place.court.ready.r2Done
        anchors.fill: parent
        sizes: place.sizes
        centred: true
        path: Marks.answered
        labelSize: place.wordSize
        text: "I am ready"
        detail: place.court.plates.hold.present ? "release your hold first" : "R1 is told last"
        enabled: !place.court.plates.hold.present
        arm: true
        onActed: place.court.tell.ready()
    }

    Rectangle {
        visible: place.idle && place.desk.playing
        anchors.fill: parent
        radius: Theme.padRadius
        color: Theme.clear
        border {
            width: Theme.outline
            color: Theme.hair
        }

        Words {
            anchors.horizontalCenter: parent.horizontalCenter
            mid: parent.height / 2
            size: place.sizes.small
            text: place.chain ? "you are ready" : "nothing to answer"
            color: Theme.off
        }
    }
}
