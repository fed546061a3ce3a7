pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's half: its six numbers by position, its server outside the end line, its band at the outer rim.
Item {
    id: half

    required property CourtView view
    required property Court court
    required property TeamLook team
    required property bool atLeft

    readonly property string letter: half.team.letter
    readonly property int due: half.team.serves ? half.team.server : -1
    readonly property bool hitOutside: half.court.aboutNumber >= 0 && half.court.about.team === half.letter && half.court.about.due >= 0 && half.court.aboutNumber !== half.due
    readonly property bool dueMeant: half.due >= 0 && half.court.aboutNumber === half.due && half.court.about.team === half.letter
    readonly property real discX: half.court.bands ? (half.court.bandWidth + half.court.freeZone) / 2 : half.court.freeZone - Theme.s3 - half.discSize / 2
    readonly property int discSize: Math.round(half.court.numberSize * 1.5)

    function placeX(position: int): real {
        const metres = half.court.along(position);
        return half.court.freeZone + half.court.metre * (half.atLeft ? metres : 18 - metres);
    }

    function placeY(position: int): real {
        const metres = half.court.across(position);
        return half.court.metre * (half.atLeft ? metres : 9 - metres);
    }

    TeamBand {
        visible: half.court.bands
        x: half.atLeft ? 0 : half.court.width - width
        width: half.court.bandWidth
        height: half.court.height
        letter: half.letter
    }

    Repeater {
        model: half.court.empty ? null : half.team.spots

        CourtFigure {
            id: figure

            required property int position

            readonly property bool outside: figure.number === half.due || (half.hitOutside && figure.number === half.court.aboutNumber)

            objectName: "court." + half.letter + "." + figure.position
            x: Math.round(half.placeX(figure.position))
            y: Math.round(half.placeY(figure.position))
            visible: !figure.outside
            size: half.court.numberSize
            calm: half.court.calm
            meant: half.court.meantNumber === figure.number && half.court.meantTeam === half.letter
            level: !half.hitOutside && half.court.aboutNumber === figure.number && half.court.about.team === half.letter ? half.court.about.level : ""
            Accessible.role: Accessible.StaticText
            Accessible.name: "Position " + figure.position + ", Team " + half.letter + ", number " + figure.number + (figure.captain ? ", captain" : "") + (figure.libero ? ", libero" : "")
        }
    }

    ServerDisc {
        objectName: "court." + half.letter + ".server"
        visible: half.due >= 0 && !half.court.empty
        x: Math.round((half.atLeft ? half.discX : half.court.width - half.discX) - width / 2)
        y: Math.round(half.placeY(1) - height / 2)
        number: String(half.due)
        size: half.court.numberSize
        level: half.dueMeant ? half.court.about.level : ""
        Accessible.role: Accessible.StaticText
        Accessible.name: "Position 1, Team " + half.letter + ", number " + half.due + ", serving"
    }

    ServerDisc {
        objectName: "court." + half.letter + ".hit"
        visible: half.hitOutside && !half.court.empty
        x: Math.round((half.atLeft ? half.discX : half.court.width - half.discX) - width / 2)
        y: Math.round(half.placeY(6) - height / 2)
        number: String(half.court.aboutNumber)
        size: half.court.numberSize
        level: half.hitOutside ? half.court.about.level : ""
        Accessible.role: Accessible.StaticText
        Accessible.name: "Team " + half.letter + ", number " + half.court.aboutNumber + ", served"
    }
}
