using System.Text;
using Grpc.Core;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.Files.Times;
using Reliability.Service.Errors;
using SheetMapping = Reliability.Files.Mappings.Mapping;

namespace Reliability.Service.Uploads;

/// <summary>Opens an uploaded file as its header says.</summary>
internal static class UploadReading
{
    private const int MaxFileName = 200, MaxSource = 100;

    // What the mapping is called in refusals: there its places are paths below a field of that name.
    private const string MappingField = "mapping";

    /// <summary>Opens the file.</summary>
    /// <exception cref="RpcException">The header breaks a rule, or mapping or file cannot be used.</exception>
    public static async Task<IEventFile> OpenAsync(V1.EventFileHeader header, Stream content, CancellationToken cancellation)
    {
        var defaults = Defaults(header);
        try
        {
            var mapping = header.Mapping.Length > 0 ? SheetMapping.Read(Encoding.UTF8.GetBytes(header.Mapping), MappingField) : null;
            return await FileForm.OpenAsync(content, FileName(header), Form(header.Form), defaults, mapping, cancellation);
        }
        catch (FileUnusableException unusable)
        {
            throw Refused(unusable);
        }
    }

    /// <summary>The refusal of a file, or of its mapping, as a whole.</summary>
    public static RpcException Refused(FileUnusableException unusable)
    {
        var violations = new Violations();
        foreach (var problem in unusable.Problems)
        {
            if (unusable.File == MappingField)
                violations.Add(problem.Field.Length == 0 ? MappingField : $"{MappingField}.{problem.Field}", problem.Rule);
            else
                violations.Add("file", problem.ToString());
        }

        return violations.ToStatus(ErrorReasons.FileUnusable).ToRpcException();
    }

    private static FileDefaults Defaults(V1.EventFileHeader header)
    {
        var violations = new Violations();
        if (header.FileName.Length > MaxFileName)
            violations.Add("file_name", $"must not be longer than {MaxFileName} characters");
        if (header.Source.Length > MaxSource)
            violations.Add("source", $"must not be longer than {MaxSource} characters");
        if (!Enum.IsDefined(header.Form))
            violations.Add("form", "must be one of the defined values");
        if (!ZoneName.TryFind(header.Zone, out var zone))
            violations.Add("zone", "must be an IANA time zone, such as \"Europe/Lisbon\"");
        else if (header.CompleteFrom.Length > 0 && !zone.TryReadFrom(header.CompleteFrom, out _, out var problem))
            violations.Add("complete_from", problem);
        violations.ThrowIfAny();
        return new(header.Source, zone, header.CompleteFrom.Length > 0 ? header.CompleteFrom : null);
    }

    // A file without a name is called so; a mapping's name is taken by the mapping.
    private static string FileName(V1.EventFileHeader header) =>
        header.FileName is "" or MappingField ? "file" : header.FileName;

    private static string? Form(V1.EventFileForm form) => form switch
    {
        V1.EventFileForm.JsonLines => FileForm.JsonLines,
        V1.EventFileForm.EventSheet => FileForm.EventSheet,
        V1.EventFileForm.LifeSheet => FileForm.LifeSheet,
        _ => null,
    };
}
