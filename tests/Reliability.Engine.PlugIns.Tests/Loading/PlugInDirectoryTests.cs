using System.Diagnostics;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;
using System.Reflection.PortableExecutable;
using System.Runtime.Loader;
using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns.Loading;

namespace Reliability.Engine.PlugIns.Tests.Loading;

/// <summary>Real assemblies, loaded or refused.</summary>
public sealed class PlugInDirectoryTests : IDisposable
{
    private readonly PlugInFolders _folders = new();

    [Fact]
    public void A_folder_on_the_allow_list_is_loaded_with_its_own_dependency()
    {
        var hash = PlugInFiles.Read(_folders.Add("Wear", "wear")).Hash;
        var (offered, refused) = Load(("wear", hash));

        Assert.Empty(refused);
        var wear = Assert.Single(offered);
        Assert.Equal(("wear", hash), (wear.Place, wear.Hash));
        Assert.Equal(("wear", "1.2.3", "The tests"), (wear.PlugIn.Id, wear.PlugIn.Version, wear.PlugIn.Publisher));

        // The contract is the engine's; the rest the plug-in's own, in a context of its own, and has no place on the disk.
        var context = AssemblyLoadContext.GetLoadContext(wear.PlugIn.GetType().Assembly);
        Assert.NotSame(AssemblyLoadContext.Default, context);
        Assert.Empty(wear.PlugIn.GetType().Assembly.Location);
        var sample = new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddFailed(400).Build();
        var options = new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation };
        Assert.True(wear.PlugIn.Estimators[0].Fit(sample, options, TestContext.Current.CancellationToken).TryGet(out _, out _));
        Assert.Contains(context!.Assemblies, a => a.GetName().Name == "Numbers");
        Assert.DoesNotContain(AssemblyLoadContext.Default.Assemblies, a => a.GetName().Name == "Numbers");
    }

    [Fact]
    public void What_the_allow_list_does_not_name_is_not_even_read()
    {
        // Reading a pipe would never end.
        var folder = Directory.CreateDirectory(Path.Combine(_folders.Path, "stranger")).FullName;
        using (var made = Process.Start("mkfifo", Path.Combine(folder, "pipe")))
            made.WaitForExit();
        Refused("stranger", "allow-list does not name it");
    }

    [Fact]
    public void A_file_that_was_changed_added_or_taken_away_is_refused()
    {
        var folder = _folders.Add("Wear", "wear");
        var hash = PlugInFiles.Read(folder).Hash;
        var dependency = Path.Combine(folder, "Numbers.dll");
        var bytes = File.ReadAllBytes(dependency);
        bytes[^1] ^= 1;
        File.WriteAllBytes(dependency, bytes);
        Refused("wear", "not the one of the allow-list", ("wear", hash));
        bytes[^1] ^= 1;
        File.WriteAllBytes(dependency, bytes);
        Assert.Empty(Load(("wear", hash)).Refused);
        File.WriteAllText(Path.Combine(folder, "more.txt"), "");
        Refused("wear", "not the one of the allow-list", ("wear", hash));
        File.Delete(Path.Combine(folder, "more.txt"));
        File.Delete(dependency);
        Refused("wear", "not the one of the allow-list", ("wear", hash));
    }

    [Fact]
    public void One_whose_library_is_missing_is_refused_with_its_name()
    {
        var folder = _folders.Add("Wear", "wear");
        File.Delete(Path.Combine(folder, "Numbers.dll"));
        Refused(
            "wear", "Wear.dll needs Numbers.dll, which is neither in the plug-in's folder nor of the base library.",
            ("wear", PlugInFiles.Read(folder).Hash));
    }

    [Fact]
    public void A_link_into_other_files_is_refused()
    {
        var folder = _folders.Add("Wear", "wear");
        File.CreateSymbolicLink(Path.Combine(folder, "linked.dll"), Path.Combine(folder, "Numbers.dll"));
        Refused("wear", "is a link", ("wear", "sha256:0"));
    }

    [Fact]
    public void The_contract_of_another_major_version_is_refused_before_any_code_runs()
    {
        // Unwilling throws when it is made: that it does not say so shows that it was not.
        var folder = _folders.Add("Unwilling", "later");
        var file = Path.Combine(folder, "Unwilling.dll");
        File.WriteAllBytes(file, BuiltFor(2, File.ReadAllBytes(file)));
        Refused("later", "built for version 2.0 of the contract", ("later", PlugInFiles.Read(folder).Hash));
    }

    [Theory]
    [InlineData("Unwilling", "threw InvalidOperationException while loading")]
    [InlineData("Numbers", "hold 0")]
    public void A_broken_one_is_refused_with_its_reason(string project, string reason)
    {
        Refused("broken", reason, ("broken", PlugInFiles.Read(_folders.Add(project, "broken")).Hash));
    }

    [Fact]
    public void Who_asks_is_told_no_text_of_an_exception_and_the_log_has_it_all()
    {
        var (_, refused) = Load(("broken", PlugInFiles.Read(_folders.Add("Unwilling", "broken")).Hash));
        var one = Assert.Single(refused);
        Assert.Equal("It threw InvalidOperationException while loading; the log of the service says more.", one.Reason);
        Assert.IsType<InvalidOperationException>(one.Cause);
        Assert.DoesNotContain(one.Cause.Message, one.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_plug_ins_in_one_folder_an_empty_folder_and_one_that_is_missing_are_refused()
    {
        _folders.Add("Broken", "both");
        Refused("both", "hold 2", ("both", PlugInFiles.Read(_folders.Add("Wear", "both")).Hash));
        Directory.CreateDirectory(Path.Combine(_folders.Path, "empty"));
        Refused("empty", "is empty", ("empty", "sha256:0"));
        Refused("missing", "no such folder", ("missing", "sha256:0"));
    }

    [Fact]
    public void A_directory_that_is_not_there_holds_none()
    {
        var (offered, refused) = PlugInDirectory.Load(Path.Combine(_folders.Path, "none"), new Dictionary<string, string>());
        Assert.Empty(offered);
        Assert.Empty(refused);
    }

    [Fact]
    public void The_hash_is_what_sha256sum_makes_of_the_folder()
    {
        var folder = _folders.Add("Wear", "wear");
        Directory.CreateDirectory(Path.Combine(folder, "Data", "a-b"));
        File.WriteAllText(Path.Combine(folder, "Data", "a-b", "one.txt"), "1");
        File.WriteAllText(Path.Combine(folder, "Data", "a.txt"), "2");
        using var shell = Process.Start(new ProcessStartInfo("bash")
        {
            ArgumentList = { "-c", @"find . -type f -printf '%P\0' | LC_ALL=C sort -z | xargs -0 sha256sum | sha256sum" },
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
        })!;
        var line = shell.StandardOutput.ReadToEnd();
        shell.WaitForExit();
        Assert.Equal(PlugInFiles.Read(folder).Hash, "sha256:" + line[..64]);
    }

    [Fact]
    public void What_does_not_answer_is_not_waited_for()
    {
        var refusal = Assert.Throws<PlugInRefusedException>(() => Patience.Of(
            "nothing", () =>
            {
                Thread.Sleep(Timeout.Infinite);
                return 0;
            },
            TimeSpan.FromMilliseconds(20)));
        Assert.Contains("was not done with nothing", refusal.Message, StringComparison.Ordinal);
    }

    public void Dispose() => _folders.Dispose();

    private (IReadOnlyList<OfferedPlugIn> Offered, IReadOnlyList<RefusedPlugIn> Refused) Load(params (string Name, string Hash)[] allowed) =>
        PlugInDirectory.Load(_folders.Path, allowed.ToDictionary(a => a.Name, a => a.Hash));

    private void Refused(string name, string reason, params (string Name, string Hash)[] allowed)
    {
        var (offered, refused) = Load(allowed);
        Assert.DoesNotContain(offered, o => o.Place == name);
        Assert.Contains(reason, Assert.Single(refused, r => r.Place == name).Reason, StringComparison.Ordinal);
    }

    /// <summary>An assembly as it would be if it had been built against another version of the contract.</summary>
    private static byte[] BuiltFor(ushort major, byte[] assembly)
    {
        using var image = new PEReader(new MemoryStream((byte[])assembly.Clone()));
        var metadata = image.GetMetadataReader();
        var start = image.PEHeaders.MetadataStartOffset + metadata.GetTableMetadataOffset(TableIndex.AssemblyRef);
        foreach (var handle in metadata.AssemblyReferences)
        {
            if (metadata.GetString(metadata.GetAssemblyReference(handle).Name) != "Reliability.Engine.Abstractions")
                continue;
            var row = start + (MetadataTokens.GetRowNumber(handle) - 1) * metadata.GetTableRowSize(TableIndex.AssemblyRef);
            BitConverter.TryWriteBytes(assembly.AsSpan(row), major);
        }

        return assembly;
    }
}
