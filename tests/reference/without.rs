//! Switches that leave one rule out of the reference, so that each rule can be seen to matter.

macro_rules! rules_left_out {
    ($($(#[$doc:meta])* $name:ident,)*) => {
        /// One rule that the reference leaves out.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Without {
            $($(#[$doc])* $name,)*
        }

        /// Every rule that can be left out.
        pub const ALL: &[Without] = &[$(Without::$name),*];
    };
}

rules_left_out! {
    /// A fix that would need more than the greatest speed is rejected.
    GreatestSpeed,
    /// 30 m of the distance are not counted.
    ThirtyMetres,
    /// Speed is not asked after a gap.
    NoSpeedAfterGap,
    /// Three rejected fixes that agree are believed.
    Believed,
    /// They must agree.
    ThreeAgree,
    /// A step back in time of up to a minute is waited out.
    SmallStepWaitedOut,

    /// A fix without altitude keeps the last known.
    AltitudeKept,
    /// But no longer than `lost-after`.
    AltitudeLapses,
    /// The receiver's own speed comes before a derived one.
    ReceiverSpeed,
    /// The receiver's own track comes before a derived one.
    ReceiverTrack,
    /// Below the minimum speed the last good track is held.
    TrackHeld,
    /// After a gap nothing is held or derived.
    NothingHeldAcrossGap,
    /// A derived value is reckoned over half a second at least.
    HalfSecond,
    /// A repeated position is an old one sent again.
    Repeated,
    /// But no longer than `lost-after`.
    RepeatLapses,
    /// A heading source comes before the wind triangle and the track.
    Source,
    /// But no longer than `lost-after`.
    SourceLapses,
    /// The wind triangle gives a heading.
    WindTriangle,
    /// Not where the speed through the air is below the minimum.
    AirMinimum,
    /// The last good heading is held.
    HeadingHeld,
    /// The day's wind stands above the plan's.
    DayWind,

    /// It takes off by height too.
    TakeOffByHeight,
    /// It lands after 10 s of being slow.
    LandingTenSeconds,
    /// Without a gap.
    LandingNoGap,
    /// Near home or a landing site.
    LandingPlace,
    /// Less than 30 m above it.
    LandingHeight,
    /// A landing site that the route names serves as well.
    LandingSites,
    /// A landing away from home does not end the flight.
    LandingAway,
    /// After the turnaround a new flight begins.
    NewFlight,

    /// A zone is left only beyond its margin.
    Margin,
    /// The flight between two fixes is reckoned up to the bridge, whether or not GPS was lost.
    Bridge,
    /// A zone entered and left within a leg was entered and left.
    InAndOut,
    /// Crossings have their own times and are taken in order.
    OwnTimes,
    /// A gate counts again only after the aircraft was beyond its margin.
    GateMargin,
    /// A gate may count from one side only.
    GateSide,
    /// All of.
    CombinedAllOf,
    /// Except.
    CombinedExcept,
    /// Altitude not known at one end: the second fix decides.
    AltitudeUnknownLeg,
    /// With altitude not known a quiet or no-filming zone counts as if it had no band.
    QuietBandUnknown,

    /// Rules are looked at after each crossing, not only at the fix.
    EveryLook,
    /// A rule sees at once that another has fired.
    Dependence,
    /// While a condition is not known the rule stays as it was.
    UnknownStays,
    /// Magnetic windows.
    Magnetic,
    /// Heading is another thing than track.
    HeadingIsNotTrack,
    /// A direction a little outside does not end an active rule.
    DirectionSlack,
    /// An altitude a little outside does not.
    AltitudeSlack,
    /// A speed a little outside does not.
    SpeedSlack,
    /// The nth pass holds until the next.
    PassUntilNext,
    /// Before abeam: past is behind.
    AbeamPast,
    /// Before abeam: the sight lies within a distance.
    AbeamDistance,
    /// Before abeam: not known below the minimum speed.
    AbeamSlow,
    /// Before abeam: an active rule is ended only by more than double.
    AbeamDoubled,
    /// Before abeam: one ended by passing begins again only after more than double.
    AbeamOnceInOrbit,
    /// The higher priority wins.
    Priority,
    /// Between equals the one written first.
    EqualsWrittenFirst,

    /// GPS is lost.
    Loss,
    /// In a loss the rule keeps the camera and the title for the shot hold.
    ShotHold,

    /// A change waits for the minimum shot.
    MinimumShot,
    /// A pick by hand does not wait.
    PickDoesNotWait,
    /// A camera wanted again while live is no change.
    ShotGoesOn,
    /// Whoever gets the channel starts with its first camera.
    StartsWithFirst,
    /// A turn counts from when its camera goes live.
    TurnCountsFromLive,
    /// Cameras out of service are left out.
    OutOfService,
    /// Cameras not allowed today are left out.
    NotAllowed,
    /// A rule without a camera to show yields to the next.
    Yields,
    /// Look at: the camera stays until another is more than 5° nearer.
    FiveDegrees,
    /// Look at: half the width of the frame.
    FrameWidth,
    /// Look at: half the height of the frame.
    FrameHeight,
    /// A pick by hand runs out.
    PickRunsOut,
    /// A pick by hand ends at landing.
    PickEndsAtLanding,

    /// Recording runs on for the post-roll.
    PostRoll,
    /// A post-roll that ends in a loss ends at the next fix.
    PostRollInLoss,
    /// It records only while airborne.
    RecordOnlyAirborne,
    /// Recording switched by hand to what the plan wants is the plan's again.
    HandUntilPlan,
    /// Recording switched by hand stays until landing.
    HandRecordEndsAtLanding,
    /// Nothing is filmed in a no-filming zone.
    NoFilming,
    /// By hand it films inside where that is allowed.
    HandInsideAllowed,
    /// What was filmed inside before it was known is reported.
    FilmedInside,

    /// A narration is played once a flight.
    OnceAFlight,
    /// Where there is no room for the whole narration its short version is told.
    ShortVersion,
    /// The breath after a narration.
    Breath,
    /// Waiting lasts as long as the rule is active.
    WaitsWhileActive,
    /// Skip.
    Skips,
    /// Interrupt.
    Interrupt,
    /// Interrupt only one of no higher priority.
    InterruptPriority,
    /// Of several that could start, the highest priority.
    NarrationPriority,
    /// Then the longest waiting.
    LongestWaiting,
    /// One cut off counts as played.
    CutOffCountsAsPlayed,
    /// Nothing plays in a quiet zone.
    Quiet,
    /// A narration for the ground plays only there.
    GroundNarration,
    /// There also in quiet zones.
    GroundNarrationInQuiet,
    /// While the radio is busy no narration starts.
    RadioBusy,
    /// A narration says itself what a busy radio does to it.
    NarrationOnRadio,
    /// A pause has an end.
    LongestPause,
    /// With the voice off none plays.
    VoiceOff,
    /// Skip by hand.
    Skip,
    /// In a loss no narration starts.
    LossStartsNothing,
    /// Music is ducked for the radio.
    MusicDucked,

    /// Stills every so often.
    StillEvery,
    /// Stills due by time in a loss are left out.
    StillsInLoss,
    /// A still names its camera.
    StillCamera,
    /// The closest point is taken when the distance has grown by 25 m.
    ClosestGrown,
    /// Or when the rule ends.
    ClosestAtRuleEnd,
    /// None whose closest point was in a no-filming zone.
    ClosestInside,
    /// None in a no-filming zone.
    NoStillInside,
}
