using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>
/// What happened to a module. Each kind carries its version in its name: a stored version is never changed, a new need
/// gets a new version that stands beside the old one.
/// </summary>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind")]
[JsonDerivedType(typeof(RegisteredV1), "registered-v1")]
[JsonDerivedType(typeof(InstalledV1), "installed-v1")]
[JsonDerivedType(typeof(RunHoursReadV1), "run-hours-read-v1")]
[JsonDerivedType(typeof(MeterChangedV1), "meter-changed-v1")]
[JsonDerivedType(typeof(OutputMeasuredV1), "output-measured-v1")]
[JsonDerivedType(typeof(FailedV1), "failed-v1")]
[JsonDerivedType(typeof(RemovedV1), "removed-v1")]
[JsonDerivedType(typeof(RepairedV1), "repaired-v1")]
[JsonDerivedType(typeof(RefurbishedV1), "refurbished-v1")]
[JsonDerivedType(typeof(RetiredV1), "retired-v1")]
[JsonDerivedType(typeof(RetractedV1), "retracted-v1")]
[JsonDerivedType(typeof(ReplacedV1), "replaced-v1")]
[JsonDerivedType(typeof(LifeReportedV1), "life-reported-v1")]
public abstract record EventBody;
